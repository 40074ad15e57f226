/* "I have only this", on the page of a part. Takes what was typed or chosen, the names of all materials from
   assets/only-have-materials.js and the answers of the part from assets/only-have/PART.js; gives the rung of the material in each
   state with every reason. It judges nothing. */
(function () {
  "use strict";
  const box = document.querySelector(".only-have"), MOST = 6;
  if (!box) { return; }
  const root = document.currentScript.src.replace(/assets\/[^/]*$/, ""), typed = box.querySelector("input"), select = box.querySelector("select");
  const said = box.querySelector(".only-have__said"), all = [];
  const COATED = /^(plated?|plating|coat(ed|ing)?|gilt|gilded|pvd|dlc|filled|flash(ed)?|wash(ed)?)$/, FILLERS = ["with", "on", "over", "of", "the", "and"];
  let loading = null;

  function plain(text) { return text.toLowerCase().normalize("NFKD").replace(/[\u0300-\u036f]/g, ""); }

  /** 1.4404 and 1,4404 are one word. */
  function words(text) { return plain(text).replace(/(\d)[.,](?=\d)/g, "$1").split(/[^a-z0-9]+/).filter(Boolean); }

  function squash(text) { return plain(text).replace(/[^a-z0-9]/g, ""); }

  function make(tag, text, css) {
    const made = document.createElement(tag);
    made.textContent = text || "";
    if (css) { made.className = css; }
    return made;
  }

  function script(name) {
    return new Promise((done, failed) => {
      const element = document.createElement("script");
      element.src = root + "assets/" + name + ".js";
      element.onload = done;
      element.onerror = failed;
      document.head.append(element);
    });
  }

  /** Both files, once; then the list to choose from is filled. */
  function load() {
    loading = loading || Promise.all([script("only-have-materials"), script("only-have/" + box.dataset.part)]).then(fill, () => {
      loading = null; // the next letter tries again
      said.replaceChildren(make("p", "The answers could not be loaded. They are in the folded lists below."));
    });
    return loading;
  }

  function fill() {
    let place = 0;
    benchMaterials.families.forEach(([family, members]) => {
      const group = document.createElement("optgroup");
      group.label = family;
      members.forEach(([id, name, others, states]) => {
        const names = words(name + " " + others + " " + family);
        all.push({ id, name, states, place, names, own: words(name), squashed: squash(name + " " + others) });
        place += Array.isArray(states) ? states.length : 0;
        group.append(new Option(name, id));
      });
      select.append(group);
    });
  }

  /** The materials that hold every typed word; first those whose own name holds them, and of which they are most. */
  function matches(text) {
    const asked = words(text), whole = squash(text);
    const holds = (names) => asked.every((word) => names.some((name) => name.startsWith(word)));
    const near = (m) => 2 * holds(m.own) + asked.filter((word) => m.names.includes(word)).length;
    const found = all.filter((m) => holds(m.names) || (whole.length > 2 && m.squashed.includes(whole)));
    return found.sort((a, b) => near(b) - near(a) || a.own.length - b.own.length || a.place - b.place);
  }

  /** The metals that are meant beneath a coating: of "gold plated steel" the steel. */
  function beneath(text) {
    const asked = words(text).filter((word) => !FILLERS.includes(word));
    if (!asked.some((word) => COATED.test(word))) { return []; }
    const rest = asked.filter((word, i) => !COATED.test(word) && !COATED.test(asked[i + 1] || ""));
    return rest.length ? matches(rest.join(" ")).filter((m) => Array.isArray(m.states)) : [];
  }

  /** One answer: `at a pinch, tempered blue: softer than any usual choice: ...`. */
  function line(words, number) {
    const [rung, ...halves] = benchOnlyHave.answers[number], [key, name] = benchMaterials.rungs[rung], reasons = [];
    for (let i = 0; i < halves.length; i += 2) { reasons.push(benchOnlyHave.texts[halves[i]] + benchOnlyHave.texts[halves[i + 1]]); }
    const made = make("li");
    made.dataset.rung = key;
    made.append(make("strong", name), (words ? ", " + words : "") + (reasons.length ? ": " + reasons.join("; ") : ""));
    return { made, rung };
  }

  /** The answers to a material in one role, states with the same answer together, the best rung first. */
  function lines(material, numbers, setting) {
    const states = new Map();
    material.states.forEach((state, i) => {
      const number = numbers[material.place + i];
      if (number !== null) { states.set(number, [...(states.get(number) || []), state].filter(Boolean)); }
    });
    return [...states].map(([number, names]) => line([setting, names.join("; ")].filter(Boolean).join(", "), number)).sort((a, b) => a.rung - b.rung);
  }

  function answers(material) {
    if (!Array.isArray(material.states)) {
      const coated = benchOnlyHave.coated.filter((c) => c[0] === material.id).map(([, , name, number]) => line("on " + name, number));
      return coated.concat([{ made: make("li", coated.length ? benchMaterials.elsewhere : material.states) }]);
    }
    const [[, plain], ...settings] = benchOnlyHave.roles, found = lines(material, plain, "");
    const worse = found.length ? found[0].rung : 9, coated = benchOnlyHave.coated.filter((c) => c[1] === material.id);
    settings.forEach(([name, numbers]) => { found.push(...lines(material, numbers, name).filter((l) => l.rung < Math.min(worse, 3))); });
    return found.concat(coated.map(([, , name, number, over]) => line(name + ", coated with " + over, number)));
  }

  function show(material, others, note) {
    if (!material) { said.replaceChildren(make("p", typed.value.trim() ? "No material here has that name." : "")); return; }
    const head = make("p"), link = make("a", material.name), list = make("ul"), found = answers(material);
    link.href = root + "materials/" + material.id + ".html";
    head.append(link);
    list.append(...(found.length ? found.map((l) => l.made) : [make("li", "not judged here; its own page says where it is")]));
    said.replaceChildren(...(note ? [make("p", note)] : []), head, list);
    if (others.length) { said.append(also(others)); }
    said.scrollIntoView({ block: "nearest" });
    typed.scrollIntoView({ block: "nearest" }); // on a phone what is typed stays below the bar
  }

  /** The other materials that the words may mean, to be tapped. */
  function also(others) {
    const made = make("p", "Or: ", "only-have__or");
    others.slice(0, MOST).forEach((m) => {
      const button = make("button", m.name);
      button.type = "button";
      button.addEventListener("click", () => { choose(m); typed.focus(); });
      made.append(button, " ");
    });
    return made;
  }

  function choose(material) {
    select.value = material.id;
    typed.value = material.name;
    show(material, []);
  }

  typed.addEventListener("input", () => load().then(() => {
    if (!all.length) { return; }
    const whole = typed.value.trim() ? matches(typed.value) : [], bare = whole.length ? [] : beneath(typed.value);
    const found = whole.concat(bare);
    select.value = found.length ? found[0].id : "";
    show(found[0], found.slice(1), bare.length ? benchMaterials.beneath : "");
  }));
  select.addEventListener("change", () => load().then(() => {
    const chosen = all.find((m) => m.id === select.value);
    if (chosen) { choose(chosen); }
  }));
  box.addEventListener("focusin", load);
  box.addEventListener("pointerenter", load);
  box.querySelector("form").addEventListener("submit", (event) => { event.preventDefault(); });
  box.hidden = false;
  if (window.requestIdleCallback) { requestIdleCallback(load); }
})();
