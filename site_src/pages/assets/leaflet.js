/* The owner's leaflet. Takes the sentences from assets/leaflet-data.js, what they are in another language from a file of that
   language, and the choices from the form; gives one page to print. Keeps nothing and sends nothing.
   What is said is chosen by the sentences of the records alone; a text is then {own, said}: as the records have it, and in the
   language that was chosen, where somebody has translated all of it. */
(function () {
  "use strict";
  const FAILS = "4", SUFFERS = "3";

  function upper(text) { return text.charAt(0).toUpperCase() + text.slice(1); }

  /** A text of the records. `tongue` holds what texts and names of materials are in the language; none: that of the records. */
  function spoken(tongue, own) { return { own, said: tongue ? tongue.said[own] : own }; }

  /** What a customer calls a material. */
  function named(data, tongue, id) { return { own: data.materials[id].name, said: tongue ? tongue.names[id] : data.materials[id].name }; }

  /** A text with each {} filled from a list of texts; it is said in the language when all of them are. */
  function filled(text, ...slots) {
    const put = which => slots.reduce((all, texts) => all.replace("{}", () => texts.map(t => t[which]).join(", ")), text[which]);
    return { own: put("own"), said: [text, ...slots.flat()].every(t => t.said) ? put("said") : undefined };
  }

  /** The pieces of the watch that say something: [heading, sentences]. Like materials share a heading; below a plating a case
      says only what reaches the skin. */
  function pieces(data, chosen, tongue) {
    const found = [];
    chosen.materials.forEach(([field, label, id]) => {
      const material = data.materials[id], plated = field === "case" && chosen.plated;
      const says = (plated ? material.below : material.says).map(line => spoken(tongue, line));
      const same = found.find(piece => piece.name.own === material.name), piece = spoken(tongue, label);
      if (same) { same.label = filled(spoken(tongue, data.both), [same.label], [piece]); same.says.push(...says); } else { found.push({ name: named(data, tongue, id), label: piece, says }); }
    });
    return found.map(piece => [filled(spoken(tongue, data.madeOf), [piece.label], [piece.name]), piece.says]);
  }

  /** A sentence that names leather, gold and the like is for a watch that has it; one about a metal bracelet for a watch
      with such a bracelet. */
  function concerns(line, data, words) {
    const named = data.words.filter(word => new RegExp("\\b" + word + "\\b", "i").test(line));
    return !named.length || !words.length || named.some(word => words.includes(word));
  }

  /** What one activity says: the hazards' sentences, and which materials it destroys or harms. */
  function says(data, activity, skins, words, tongue) {
    const told = activity.hazards.flatMap(hazard => data.hazards[hazard].filter(line => concerns(line, data, words)));
    const lines = told.map(line => spoken(tongue, line)), worst = id => data.materials[id].worst;
    [[FAILS, activity.fails], [SUFFERS, activity.suffers]].forEach(([verdict, sentence]) => {
      const hit = skins.filter(id => activity.hazards.some(hazard => worst(id).charAt(hazard) === verdict)
        && !(verdict === SUFFERS && activity.hazards.some(hazard => worst(id).charAt(hazard) === FAILS)));
      const names = hit.map(id => named(data, tongue, id)).filter((name, i, all) => all.findIndex(other => other.own === name.own) === i);
      if (sentence && names.length) { lines.push(filled(spoken(tongue, sentence), names)); }
    });
    return lines;
  }

  /** The blocks of the leaflet: [heading, sentences], all as {own, said}; no sentence stands twice, no heading stands empty.
      `chosen` holds materials as [field, label, id], whether the case is plated, the mark for water, and the activities. */
  function blocks(data, chosen, tongue) {
    const seen = new Set(), fresh = line => !seen.has(line.own) && Boolean(seen.add(line.own));
    const words = chosen.materials.flatMap(([field, , id]) =>
      data.materials[id].words.filter(word => field === "bracelet" || !word.endsWith("bracelet")));
    /* A plated case shows its plating to the world; what lies below is judged only where it is bare. */
    const skins = chosen.materials.filter(([field]) => !(chosen.plated && field === "case")).map(([, , id]) => id);
    const found = pieces(data, chosen, tongue);
    chosen.does.forEach(index => {
      const activity = data.activities[index], kept = chosen.water >= activity.water;
      found.push([spoken(tongue, activity.name), kept ? says(data, activity, skins, words, tongue) : [spoken(tongue, activity.without)]]);
    });
    return found.map(([heading, lines]) => [heading, lines.filter(fresh)]).filter(([, lines]) => lines.length);
  }

  /* What one A5 page holds: a class of the style sheet, the letters in its line, the lines on its page. The small sizes have two columns. */
  const SIZES = [["", 74, 44], ["leaflet--small", 36, 106], ["leaflet--smallest", 42, 126]];

  /** The lines that a text takes at so many letters a line; a word that does not fit goes to the next. */
  function rows(text, letters) {
    let count = 1, used = 0;
    text.split(" ").forEach(word => {
      if (used && used + 1 + word.length > letters) { count += 1; used = 0; }
      used += (used ? 1 : 0) + word.length;
    });
    return count;
  }

  /** The lines of the whole leaflet at so many letters a line. */
  function lines(leaflet, found, letters) {
    let count = 2;
    leaflet.querySelectorAll(":scope > ul li").forEach(item => { count += rows(item.textContent, letters); });
    found.forEach(([heading, told]) => { count += 0.6 + rows(heading.said || heading.own, letters) + told.reduce((sum, line) => sum + rows(line.said || line.own, letters), 0); });
    return count;
  }

  /** Puts the sentences into a leaflet, in the language `tag` of `tongue`; gives back whether they fit one A5 page. */
  function fill(leaflet, data, chosen, tag, tongue) {
    const base = document.documentElement.lang, list = leaflet.querySelector(".leaflet__chosen"), found = blocks(data, chosen, tongue);
    /* What is not in the language of the leaflet is marked. */
    const put = (element, text) => {
      element.textContent = upper(text.said || text.own);
      element.lang = text.said ? leaflet.lang : base;
      return element;
    };
    leaflet.lang = tag || base;
    leaflet.querySelectorAll("[data-say]").forEach(own => {
      own.dataset.say = own.dataset.say || own.textContent;
      put(own, spoken(tongue, own.dataset.say));
    });
    leaflet.querySelector(".leaflet__translated").hidden = !tongue;
    list.textContent = "";
    found.forEach(([heading, told]) => {
      const items = document.createElement("ul");
      told.forEach(line => items.append(put(document.createElement("li"), line)));
      list.append(put(document.createElement("h3"), heading), items);
    });
    const size = SIZES.find(s => lines(leaflet, found, s[1]) <= s[2]), used = size || SIZES[SIZES.length - 1];
    SIZES.forEach(s => { if (s[0]) { leaflet.classList.toggle(s[0], s === used); } });
    return Boolean(size);
  }

  /** What a language says; null while its file is on the way. The language of the records needs none. */
  function tongueOf(tag, then, failed) {
    const known = (window.benchLeafletIn || {})[tag];
    if (!tag || known) { return known; }
    const script = document.createElement("script");
    script.src = document.querySelector("script[src*='leaflet-data']").src.replace("leaflet-data", "leaflet-data-" + tag);
    script.onload = then;
    script.onerror = () => { script.remove(); failed("The sentences in this language could not be loaded."); };
    document.head.appendChild(script);
    return null;
  }

  globalThis.benchOwner = { blocks, fill, tongueOf };
  if (typeof document === "undefined") { return; }

  const form = document.querySelector("form[data-leaflet]"), data = window.benchLeaflet;
  if (!form || !data) { return; }
  const said = form.querySelector(".calc__said");

  function chosen() {
    const fields = Array.from(form.querySelectorAll("select")).filter(select => data.materials[select.value]);
    return {
      materials: fields.map(select => [select.name, select.dataset.label, select.value]),
      plated: Boolean(form.elements.plating && form.elements.plating.value),
      water: +form.elements.water.value,
      does: Array.from(form.querySelectorAll("input[name=does]:checked")).map(box => +box.value)
    };
  }

  function update() {
    const tag = form.elements.language.value, tongue = tongueOf(tag, update, told => { said.textContent = told; });
    if (tongue === null) { return; }
    const fits = fill(document.querySelector(".leaflet"), data, chosen(), tag, tongue), trust = form.querySelector("p[data-trust]");
    trust.textContent = form.elements.language.selectedOptions[0].dataset.trust || "";
    trust.hidden = !trust.textContent;
    said.textContent = fits ? "Fits one A5 page." : "Too long for one A5 page; leave something out.";
  }

  form.addEventListener("input", update);
  form.addEventListener("reset", () => setTimeout(update, 0));
  form.addEventListener("submit", event => event.preventDefault());
  form.querySelector("[data-print]").addEventListener("click", () => window.print());
  form.hidden = false;
  document.body.classList.add("has-leaflet");
  update();
})();
