/* A material chosen once for a piece of a calculation. Takes the choices from assets/values.js and the symbols that a
   piece fills; gives the texts for the fields and the chosen name, and lets go of it when a field is typed over. */
(function () {
  "use strict";
  const LONG = 20;  // a longer list can be shortened by typing

  /** All choices that fill any of the wanted properties: [{value, name, texts}], by family. */
  function choices(piece, wanted) {
    const families = benchMetals[piece === "plating metal" ? "deposits" : "materials"];
    /** Which of the wanted figures are borrowed, with sign and word. */
    const said = (texts, weak) => wanted.filter((p) => p in texts && p in weak).map((p) => ", " + weak[p]).join("");
    return families.map(([family, rows]) => [family, rows.flatMap(([id, name, general, states, weak = {}]) => {
      const own = states.filter(([, , texts]) => wanted.some((p) => p in texts))
        .map(([state, words, texts, its = {}]) => ({ value: id + "." + state, name: name + ", " + words + said(texts, its) + said(Object.fromEntries(Object.entries(general).filter(([p]) => !(p in texts))), weak), texts: { ...general, ...texts } }));
      const plain = { value: id, name: name + said(general, weak), texts: general };
      return own.length ? own : [plain];
    }).filter((choice) => wanted.some((p) => p in choice.texts))]).filter(([, list]) => list.length);
  }

  function matches(choice, family, words) {
    const text = (choice.name + " " + family).toLowerCase();
    return words.every((word) => text.includes(word));
  }

  /** One chooser. `fields` are [field, property]; `changed` is told when fields were filled. */
  function chooser(box, fields, changed) {
    const piece = box.dataset.piece, select = box.querySelector("select"), narrow = box.querySelector("input");
    const wanted = fields.map(([, property]) => property), families = choices(piece, wanted);
    const all = new Map(families.flatMap(([, list]) => list.map((c) => [c.value, c])));
    let chosen = null;

    function list() {
      const words = narrow.value.toLowerCase().split(/\s+/).filter(Boolean);
      select.replaceChildren(new Option("choose a metal, or type the figures", ""));
      families.forEach(([family, choicesOf]) => {
        const group = document.createElement("optgroup");
        group.label = family;
        choicesOf.filter((c) => c === chosen || matches(c, family, words)).forEach((c) => group.append(new Option(c.name, c.value)));
        if (group.children.length) { select.append(group); }
      });
      select.value = chosen ? chosen.value : "";
    }

    function fill() {
      fields.forEach(([field, property]) => { if (property in chosen.texts) { field.value = chosen.texts[property]; } });
    }

    function choose(value) {
      chosen = all.get(value) || null;
      list();
      if (chosen) { fill(); }
    }

    /** Lets go of the choice where a field it filled says something else. */
    function check() {
      if (chosen && fields.some(([field, property]) => property in chosen.texts && field.value !== chosen.texts[property])) { choose(""); }
    }

    select.addEventListener("change", () => { choose(select.value); changed(); });
    narrow.addEventListener("input", (event) => { event.stopPropagation(); list(); });
    narrow.addEventListener("keydown", (event) => {
      if (event.key !== "Enter") { return; }
      event.preventDefault();
      const first = select.querySelector("optgroup option");
      if (first) { choose(first.value); changed(); }
    });
    narrow.hidden = all.size <= LONG;
    box.hidden = all.size === 0;
    list();
    return {
      piece, choose, check,
      has: (value) => all.has(value),
      value: () => (chosen ? chosen.value : ""),
      name: () => (chosen ? chosen.name : ""),
      filled: (field) => chosen !== null && fields.some(([f, property]) => f === field && property in chosen.texts)
    };
  }

  globalThis.benchChooser = chooser;
})();
