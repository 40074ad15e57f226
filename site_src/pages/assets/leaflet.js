/* The owner's leaflet. Receives the sentences from assets/leaflet-data.js and the choices from the form; hands on one page
   to print. Keeps nothing and sends nothing. */
(function () {
  "use strict";
  const FAILS = "4", SUFFERS = "3";

  function upper(text) { return text.charAt(0).toUpperCase() + text.slice(1); }

  /** The pieces of the watch that say something: [heading, sentences]. Like materials share a heading; below a plating a case
      says only what reaches the skin. */
  function pieces(data, chosen) {
    const found = [];
    chosen.materials.forEach(([field, label, id]) => {
      const material = data.materials[id], plated = field === "case" && chosen.plated;
      const says = plated ? material.below : material.says;
      const same = found.find(piece => piece.name === material.name);
      if (same) { same.labels.push(label); same.says.push(...says); } else { found.push({ name: material.name, labels: [label], says: says.slice() }); }
    });
    return found.map(piece => [upper(piece.labels.join(" and ").toLowerCase()) + ": " + piece.name, piece.says]);
  }

  /** A sentence that names leather, gold and the like is for a watch that has it; one about a metal bracelet for a watch
      with such a bracelet. */
  function concerns(line, data, words) {
    const named = data.words.filter(word => new RegExp("\\b" + word + "\\b", "i").test(line));
    return !named.length || !words.length || named.some(word => words.includes(word));
  }

  /** What one activity says: the hazards' sentences, and which materials it destroys or harms. */
  function says(data, activity, skins, words) {
    const lines = activity.hazards.flatMap(hazard => data.hazards[hazard].filter(line => concerns(line, data, words)));
    [[FAILS, activity.fails], [SUFFERS, activity.suffers]].forEach(([verdict, sentence]) => {
      const hit = skins.filter(m => activity.hazards.some(hazard => m.worst.charAt(hazard) === verdict)
        && !(verdict === SUFFERS && activity.hazards.some(hazard => m.worst.charAt(hazard) === FAILS)));
      const names = [...new Set(hit.map(m => m.name))];
      if (sentence && names.length) { lines.push(sentence.replace("{}", names.join(", "))); }
    });
    return lines;
  }

  /** The blocks of the leaflet: [heading, sentences]; no sentence stands twice, no heading stands empty. `chosen` holds
      materials as [field, label, id], whether the case is plated, the mark for water, and the activities. */
  function blocks(data, chosen) {
    const seen = new Set(), fresh = line => !seen.has(line) && Boolean(seen.add(line));
    const words = chosen.materials.flatMap(([field, , id]) =>
      data.materials[id].words.filter(word => field === "bracelet" || !word.endsWith("bracelet")));
    /* A plated case shows its plating to the world; what lies below is judged only where it is bare. */
    const skins = chosen.materials.filter(([field]) => !(chosen.plated && field === "case")).map(([, , id]) => data.materials[id]);
    const found = pieces(data, chosen);
    chosen.does.forEach(index => {
      const activity = data.activities[index], kept = chosen.water >= activity.water;
      found.push([activity.name, kept ? says(data, activity, skins, words) : [activity.without]]);
    });
    return found.map(([heading, lines]) => [heading, lines.filter(fresh)]).filter(([, lines]) => lines.length);
  }

  globalThis.benchOwner = { blocks };
  if (typeof document === "undefined") { return; }

  const form = document.querySelector("form[data-leaflet]"), data = window.benchLeaflet;
  if (!form || !data) { return; }
  const leaflet = document.querySelector(".leaflet"), list = leaflet.querySelector(".leaflet__chosen"), said = form.querySelector(".calc__said");
  /* What one A5 page holds: a class of the style sheet, the letters in its line, the lines on its page. The small sizes have two columns. */
  const SIZES = [["", 74, 44], ["leaflet--small", 37, 108], ["leaflet--smallest", 43, 128]];

  function element(tag, text) {
    const made = document.createElement(tag);
    if (text) { made.textContent = text; }
    return made;
  }

  function chosen() {
    const fields = Array.from(form.querySelectorAll("select")).filter(select => data.materials[select.value]);
    return {
      materials: fields.map(select => [select.name, select.previousElementSibling.textContent, select.value]),
      plated: Boolean(form.elements.plating && form.elements.plating.value),
      water: +form.elements.water.value,
      does: Array.from(form.querySelectorAll("input[name=does]:checked")).map(box => +box.value)
    };
  }

  /** The lines that text takes at so many letters a line. */
  function lines(found, letters) {
    const rows = text => Math.ceil(text.length / letters);
    let count = 2;
    leaflet.querySelectorAll(":scope > ul li").forEach(item => { count += rows(item.textContent); });
    found.forEach(([, told]) => { count += 1.6 + told.reduce((sum, line) => sum + rows(line), 0); });
    return count;
  }

  function update() {
    const found = blocks(data, chosen());
    list.textContent = "";
    found.forEach(([heading, told]) => {
      const items = element("ul");
      told.forEach(line => items.append(element("li", line)));
      list.append(element("h3", heading), items);
    });
    const size = SIZES.find(s => lines(found, s[1]) <= s[2]), used = size || SIZES[SIZES.length - 1];
    SIZES.forEach(s => { if (s[0]) { leaflet.classList.toggle(s[0], s === used); } });
    said.textContent = size ? "Fits one A5 page." : "Too long for one A5 page; leave something out.";
  }

  form.addEventListener("input", update);
  form.addEventListener("reset", () => setTimeout(update, 0));
  form.addEventListener("submit", event => event.preventDefault());
  form.querySelector("[data-print]").addEventListener("click", () => window.print());
  form.hidden = false;
  document.body.classList.add("has-leaflet");
  update();
})();
