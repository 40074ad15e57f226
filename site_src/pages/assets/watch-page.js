/* The page of the watch sheet; the answers are from watch.js, files from watch-file.js. Sheets stay on this device. */
(function () {
  "use strict";
  const form = document.querySelector("form[data-watch]"), shared = window.watchSheet, idata = window.benchIdentifyData;
  if (!form || !shared) { return; }
  const KEPT = "bench.watch.", GRADE = ["", "look", "slowly", "at once"], WORD = ["", "Look", "In time", "Now"];
  const at = name => form.querySelector("[data-" + name + "]"), said = at("said"), kindOf = form.elements.kind, keptOf = form.elements.kept;
  const now = new Date(), today = [now.getFullYear(), now.getMonth() + 1, now.getDate()].map(n => String(n).padStart(2, "0")).join("-");
  const state = { sheet: null, data: null, id: "", seen: null, unsaved: false, open: "", other: "" };

  function make(tag, text, css) {
    const made = document.createElement(tag);
    if (text) { made.textContent = text; }
    if (css) { made.className = css; }
    return made;
  }
  const upper = text => text.charAt(0).toUpperCase() + text.slice(1);
  const page = (kind, id, text) => { const a = make("a", upper(text)); a.href = kind + "/" + id + ".html"; return a; };
  const partLink = part => page("parts", part.roleId, part.name);
  const list = (items, css) => { const made = make("ul", "", css); items.forEach(item => { const li = make("li"); li.append(...[].concat(item)); made.append(li); }); return made; };
  window.benchElements = { make, upper, list };  // for the folds and the paper, which are loaded later

  /* ---- Kept on this device ---- */

  function keptIds() {
    try { return Object.keys(localStorage).filter(key => key.startsWith(KEPT)).sort(); } catch (error) { return []; }
  }

  function tell(...words) { said.textContent = ""; said.append(...words); }

  function button(text, act) { const made = make("button", text, "button"); made.type = "button"; made.addEventListener("click", act); return made; }

  function keep() {
    const text = benchSheet.write(state.sheet);
    try {
      const there = state.id ? localStorage.getItem(state.id) : null;
      if (!state.id || (there !== null && there !== state.seen)) {
        if (state.id) { tell("This sheet was changed in another window. Both are kept: yours goes on as a second one."); }
        state.id = KEPT + Date.now().toString(36) + Math.random().toString(36).slice(2, 6);
      }
      localStorage.setItem(state.id, text);
      state.seen = text;
      state.unsaved = false;
    } catch (error) {
      state.unsaved = true;
      tell("This device cannot keep any more: its storage is full or switched off. Save the sheet as a file before you leave the page. ", button("Save as a file", save));
    }
    offerKept();
  }

  function offerKept() {
    const options = keptIds().map(id => {
      const found = benchSheet.read(localStorage.getItem(id), shared.kinds.map(k => k[0]));
      const name = found.fault ? "damaged or of another edition" : [found.sheet.job || nameOfKind(found.sheet.watch), found.sheet.day].filter(Boolean).join(", ");
      const option = make("option", name);
      option.value = id;
      return option;
    });
    keptOf.replaceChildren(make("option", options.length ? "Kept on this device: " + options.length : "Nothing kept yet"), ...options);
    keptOf.options[0].value = "";
    keptOf.value = state.id;
    if (keptOf.selectedIndex < 0) { keptOf.value = ""; }
  }

  const nameOfKind = id => (shared.kinds.find(k => k[0] === id) || ["", id])[1];

  function openKept(id) {
    const text = localStorage.getItem(id), found = benchSheet.read(text, shared.kinds.map(k => k[0]));
    if (found.fault) {
      tell("This kept sheet cannot be opened here: " + found.fault + " ", button("Save what is there as a file", () => download(text, "kept-sheet.json")));
      return false;
    }
    take(found.sheet, id, text);
    tell(found.said.join(" "));
    return true;
  }

  function download(text, name) {
    const link = make("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
    link.download = name;
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  }

  function save() {
    download(benchSheet.write(state.sheet), benchSheet.fileName(state.sheet));
    state.unsaved = false;
  }

  function openFile(file) {
    const reader = new FileReader();
    reader.onerror = () => tell("The file could not be read.");
    reader.onload = () => {
      const found = benchSheet.read(reader.result, shared.kinds.map(k => k[0]));
      if (found.fault) { tell(found.fault); return; }
      take(found.sheet, "", null);
      tell(["Opened " + file.name + "."].concat(found.said).join(" "));
      keep();
    };
    reader.readAsText(file);
  }

  /** Loads the data of a kind once, then shows the sheet. */
  function take(sheet, id, seen) {
    const show = () => {
      state.sheet = sheet; state.id = id; state.seen = seen; state.open = ""; state.tiles = null;
      state.data = benchWatch.ready(shared, window.watchKinds[sheet.watch], idata);
      kindOf.value = sheet.watch;
      ["job", "note", "water"].forEach(name => { form.elements[name].value = sheet[name] || (name === "water" ? "none" : ""); });
      form.querySelectorAll("input[name=does]").forEach(box => { box.checked = sheet.owner.includes(box.value); });
      offerMetals();
      update();
      offerKept();
    };
    if (window.watchKinds && window.watchKinds[sheet.watch]) { show(); return; }
    load("watches/" + sheet.watch, show);
  }

  function load(name, then) {
    const script = make("script");
    script.src = "assets/" + name + ".js";
    script.onload = then;
    script.onerror = () => tell("A file of these pages is missing: assets/" + name + ".js.");
    document.head.append(script);
  }

  function loadAll(names, then) {
    if (names.length) { load(names[0], () => loadAll(names.slice(1), then)); } else { then(); }
  }

  /** Loads what prints, and the owner's language, on demand. */
  function paper(kind) {
    const tag = kind === "owner" ? form.elements.language.value : "";
    const print = () => {
      if (benchOwner.tongueOf(tag, print, tell) === null) { return; }
      benchMore.add(state.data, state.sheet, state.answers, state.other);
      tell(benchPaper.print(state, kind, tag) ? "" : "Too long for one A5 page; leave something out.");
    };
    if (window.benchPaper) { print(); } else { loadAll(["watch-more", "leaflet-data", "leaflet", "watch-paper"], print); }
  }

  function changed() { update(); keep(); }

  /* ---- Answers ---- */

  function findings(a) {
    const shown = a.findings.map(f => {
      const item = make("li", "", "finding finding--" + f.level), head = make("p", "", "finding__head"), parts = [...new Set(f.parts)];
      head.append(make("strong", WORD[f.level]), " ", parts.length ? page("parts", parts[0].roleId, f.title) : f.title);
      item.append(head, make("p", upper(f.text)));
      if (f.look) { item.append(make("p", "Look for: " + f.look, "finding__look")); }
      if (f.assumed) { item.append(make("p", "As usual for this kind; not known of this piece.", "finding__look")); }
      return item;
    });
    const most = 6, rest = shown.slice(most);
    at("findings").replaceChildren(...shown.slice(0, most));
    at("count").textContent = shown.length ? shown.length + (shown.length === 1 ? " thing" : " things") + " to look at, worst first" : "Nothing in these metals needs looking at first";
    const more = at("more");
    more.hidden = !rest.length;
    more.querySelector("summary").textContent = rest.length + " more";
    more.querySelector("ol").replaceChildren(...rest);
    const named = a.cautions.slice().sort((x, y) => x.far - y.far), link = make("a", "all " + named.length + " for the work on this piece");
    link.href = "#cautions-here";
    at("safety").replaceChildren(make("strong", "\u26a0 Safety: "), ...named.slice(0, 6).flatMap(c => { const one = make("a", c.name); one.href = "cautions.html#" + c.id; return [one, ", "]; }), link);
  }

  /** The tiles of a watch, made once; what changes is written into them. */
  function layOut(a) {
    const groups = state.data.zones.map(([, name], z) => [name, a.parts.filter(p => p.zone === z)]).filter(g => g[1].length);
    state.tiles = new Map();
    at("parts").replaceChildren(...groups.map(([name, parts]) => {
      const group = make("section", "", "zoned"), grid = make("div", "", "tiles");
      parts.forEach(part => {
        const tile = make("button", "", "tile");
        tile.type = "button";
        tile.dataset.part = part.key;
        tile.setAttribute("aria-expanded", "false");
        tile.append(make("strong", part.name), make("span"), make("small"));
        grid.append(tile);
        state.tiles.set(part.key, tile);
      });
      group.append(make("h3", name), grid);
      return group;
    }));
  }

  function write(node, text) { if (node.textContent !== text) { node.textContent = text; } }

  function tiles(a) {
    const grave = new Map();
    a.findings.forEach(f => f.parts.forEach(p => { grave.set(p.key, Math.max(grave.get(p.key) || 0, f.level)); }));
    a.parts.forEach(part => {
      const tile = state.tiles.get(part.key), level = grave.get(part.key) || 0, css = "tile tile--" + (part.open ? "open" : level);
      if (tile.className !== css) { tile.className = css; }
      write(tile.children[1], part.open ? "not known" : upper(madeOf(part, !part.assumed)));
      write(tile.children[2], part.assumed ? "assumed, as usual" : level ? WORD[level].toLowerCase() : part.open ? "to be settled" : "on this piece");
    });
    if (state.open) { fillPanel(a, a.parts.find(p => p.key === state.open)); }
  }

  /** Opens the panel of a part under its tile, or closes it. */
  function openPart(key) {
    if (state.open) { state.tiles.get(state.open).setAttribute("aria-expanded", "false"); }
    state.open = state.open === key ? "" : key;
    panel.remove();
    if (!state.open) { return; }
    state.tiles.get(key).setAttribute("aria-expanded", "true");
    state.tiles.get(key).after(panel);
    tiles(state.answers);
    panel.scrollIntoView({ block: "nearest" });
  }

  const madeOf = (part, state) => (part.coating ? part.coating[1] + " on " : "") + part.material[1] + (state && part.stateSet && part.state[1] ? ", " + part.state[1] : "");

  /* ---- One part ---- */

  const panel = document.querySelector("template[data-panel]").content.firstElementChild.cloneNode(true), field = name => panel.querySelector("[name=" + name + "]");
  const ROWS = { hardness: "HV", "weight-in-air": "g", "weight-in-water": "g", "plating-thickness": "um" };

  function options(select, groups, value) {
    const made = JSON.stringify(groups);
    if (select.offered !== made) { offer(select, groups); select.offered = made; }
    if (select.value !== value) { select.value = value; }
  }

  function offer(select, groups) {
    select.replaceChildren(...groups.filter(g => g[1].length).map(([label, rows]) => {
      const made = rows.map(([id, text]) => { const option = make("option", text); option.value = id; return option; });
      if (!label) { return made; }
      const group = make("optgroup");
      group.label = label;
      group.append(...made);
      return [group];
    }).flat());
  }

  function fillPanel(a, part) {
    const data = state.data, own = state.sheet.parts[part.key], found = benchWatch.narrowed(data, idata, state.sheet, part), fit = new Set(found.left.map(m => m[0]));
    const named = m => [m[0], upper(m[1])], rest = data.materials.filter(m => m[2] !== 1 && !fit.has(m[0])).sort((x, y) => (upper(x[1]) < upper(y[1]) ? -1 : 1));
    if (panel.dataset.part !== part.key) { panel.dataset.part = part.key; panel.querySelectorAll("details").forEach(d => { d.open = false; }); }
    options(field("material"), [["", [["=", "as usual for this kind" + (part.usual ? ": " + part.usual.row[1] : "")], ["", "not known"]]], [found.made ? "fits what was measured" : "used for this part", found.left.map(named)], ["every other", rest.map(named)]], own ? own.material : "=");
    options(field("state"), [["", [["", "not known"]].concat(part.material ? part.material[10].filter(s => s[0]).map(s => [s[0], s[1]]) : [])]], part.state && part.stateSet ? part.state[0] : "");
    options(field("coating"), [["", [["", "bare"]].concat(data.materials.filter(m => m[2] === 1).map(named))]], part.coating ? part.coating[0] : "");
    ["state", "coating"].forEach(name => { field(name).disabled = part.open; });
    Object.keys(ROWS).forEach(property => fillRow(part, property, property, 0));
    panel.querySelector("[data-rate]").hidden = part.roleId !== "balance-wheel";
    [0, 1].forEach(n => fillRow(part, "rate", "rate-" + n, n));
    const any = state.sheet.measured.find(m => m.part === part.key) || {};
    HOW.forEach(name => { if (field(name) !== document.activeElement) { field(name).value = any[name] || ""; } });
    field("magnet").value = (rowOf(part.key, "magnet", 0) || { value: "" }).value;
    const told = panel.querySelector("[data-found]"), words = [];
    if (part.strange) { words.push("The sheet names a material that this edition does not have: " + own.material + ". It is kept. "); }
    if (part.open || found.made) {
      words.push(found.left.length ? (part.open ? "May be: " : "Fits what was measured: ") + found.left.map(m => m[1] + (found.weak.get(m) ? " (" + found.weak.get(m) + ")" : "")).slice(0, 12).join("; ") + (found.left.length > 12 ? " and " + (found.left.length - 12) + " more" : "") + ". " : "No metal that the trade uses here fits what was measured. ");
      const test = idata.tests.find(t => t[0] === found.next);
      if (test) { words.push("Gentlest test that settles most: "); const link = make("a", test[1]); link.href = "identify.html?among=" + found.left.map(m => m[0]).join(",") + Object.entries(found.observed).filter(o => o[0] === "magnet").map(o => "&magnet=" + o[1]).join("") + "#test-" + test[0]; words.push(link, "."); }
    }
    told.replaceChildren(...words);
    panel.querySelector("h4").replaceChildren(partLink(part));
  }

  const rowsOf = (key, property) => state.sheet.measured.filter(m => m.part === key && m.property === property);
  const rowOf = (key, property, n) => (property === "rate" ? rowsOf(key, property)[n] : rowsOf(key, property).pop());

  function fillRow(part, property, name, n) {
    const row = rowOf(part.key, property, n) || {};
    [["", "value"], ["-doubt", "doubt"], ["-at", "at"]].forEach(([end, key]) => {
      const input = field(name + end);
      if (input && input !== document.activeElement) { input.value = row[key] || ""; }
      if (input) { input.setAttribute("aria-invalid", String(Boolean(input.value.trim()) && benchWatch.number(input.value) === null)); }
    });
  }

  const HOW = ["readings", "instrument", "by"];

  /** How the values of a part were come by; it goes with each of them. */
  function how() { return Object.fromEntries(HOW.map(name => [name, field(name).value.trim() || (name === "readings" ? "1" : "")])); }

  /** Writes one measurement into the sheet; an emptied value removes its row. */
  function measure(input) {
    if (HOW.includes(input.name)) {
      state.sheet.measured.filter(m => m.part === panel.dataset.part).forEach(m => { Object.assign(m, how()); });
      return;
    }
    const [, property, n, end] = /^(rate|hardness|weight-in-air|weight-in-water|plating-thickness|magnet)(?:-([01]))?(?:-(doubt|at))?$/.exec(input.name), key = panel.dataset.part;
    let row = rowOf(key, property, +n || 0);
    if (!row) {
      row = { part: key, property, unit: property === "rate" ? "s/d" : ROWS[property] || "", value: "", doubt: "", ...how(), day: today };
      state.sheet.measured.push(row);
    }
    row[end || "value"] = input.value.trim();
    if (!row.value && !row.doubt && !row.at) { state.sheet.measured.splice(state.sheet.measured.indexOf(row), 1); }
  }

  panel.addEventListener("input", event => {
    const name = event.target.name, key = panel.dataset.part, parts = state.sheet.parts;
    if (name === "material") {
      if (event.target.value === "=") { delete parts[key]; } else { parts[key] = { ...parts[key], material: event.target.value, state: "", coating: event.target.value && field("coating").value }; }
    } else if (name === "state" || name === "coating") {
      parts[key] = parts[key] || { material: field("material").value === "=" ? usualOf(key) : field("material").value, state: field("state").value, coating: field("coating").value };
      parts[key][name] = event.target.value;
    } else { measure(event.target); }
    changed();
    event.stopPropagation();
  });

  const usualOf = key => { const row = state.data.watch.parts.find(p => p[0] === key); return row[3] < 0 ? "" : state.data.materials[row[3]][0]; };

  at("parts").addEventListener("click", event => {
    const tile = event.target.closest("[data-part].tile");
    if (tile) { openPart(tile.dataset.part); }
  });

  /* ---- Folds, filled by watch-folds.js when they open ---- */

  function fill(fold) {
    if (!fold.open || !state.answers) { return; }
    if (!window.benchFolds) { loadAll(["watch-more", "watch-folds"], () => fill(fold)); return; }
    benchMore.add(state.data, state.sheet, state.answers, state.other);
    const made = benchFolds.fill(fold.dataset.fold, state, idata);
    if (made) { fold.querySelector(".fold__in").replaceChildren(...made); }
  }

  function update() {
    const a = state.answers = benchWatch.answers(state.data, state.sheet, idata);
    at("filled").hidden = false;
    findings(a);
    if (!state.tiles) { layOut(a); }
    tiles(a);
    /* Further down comes later. */
    clearTimeout(state.later);
    state.later = setTimeout(() => form.querySelectorAll("[data-fold]").forEach(fill), 0);
    const lived = form.querySelectorAll("input[name=does]:checked").length;
    at("lived").textContent = lived ? lived + " chosen" : "nothing said";
  }

  function offerMetals() {
    options(form.elements.other, [["", [["", "no other metal"]].concat(state.data.materials.filter(m => m[2] === 0 && m[4].length).map(m => [m[0], upper(m[1])]))]], state.other);
  }

  /* ---- What the form does ---- */

  form.addEventListener("input", event => {
    const name = event.target.name;
    if (name === "kind") { if (event.target.value) { take(benchSheet.empty(event.target.value, shared.edition, today), "", null); tell(""); } return; }
    if (name === "kept") { if (event.target.value) { openKept(event.target.value); } return; }
    if (name === "file" || !state.sheet) { return; }
    if (name === "language") { form.querySelector("p[data-trust]").textContent = event.target.selectedOptions[0].dataset.trust || ""; return; }
    if (name === "other") { state.other = event.target.value; update(); return; }
    if (name === "does") { state.sheet.owner = [...form.querySelectorAll("input[name=does]:checked")].map(box => box.value); }
    if (["job", "note", "water"].includes(name)) { state.sheet[name] = event.target.value; keep(); return; }
    changed();
  });
  form.elements.file.addEventListener("change", () => { if (form.elements.file.files[0]) { openFile(form.elements.file.files[0]); form.elements.file.value = ""; } });
  form.addEventListener("submit", event => event.preventDefault());
  form.addEventListener("click", event => {
    const act = event.target.closest("[data-act]");
    if (!act || !state.sheet) { return; }
    ({ save, job: () => paper("job"), owner: () => paper("owner"), drop: () => { try { localStorage.removeItem(state.id); } catch (error) { return; } state.id = ""; state.seen = null; tell("Taken off this device. What you see is kept again at the next change."); offerKept(); } })[act.dataset.act]();
  });
  form.querySelectorAll("[data-fold]").forEach(fold => fold.addEventListener("toggle", () => fill(fold)));
  window.addEventListener("storage", event => {
    if (event.key !== null && !event.key.startsWith(KEPT)) { return; }
    offerKept();
    if (event.key === state.id && event.newValue !== null && event.newValue !== state.seen) {
      tell("This sheet was changed in another window. Go on here and both are kept, or ", button("show that one", () => openKept(state.id)));
    }
  });
  window.addEventListener("beforeunload", event => { if (state.unsaved) { event.preventDefault(); } });

  form.hidden = false;
  offerKept();
  const asked = new URLSearchParams(location.search).get("watch");
  if (shared.kinds.some(k => k[0] === asked)) { kindOf.value = asked; take(benchSheet.empty(asked, shared.edition, today), "", null); }
  else if (keptIds().length) { openKept(keptIds().pop()); }
})();
