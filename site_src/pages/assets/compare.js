/* Side by side. Takes figures, rules and verdicts from assets/compare-data.js and the choice from the form or the address;
   gives one table, and a link that holds the choice. It judges nothing: verdicts and reasons come from the generator. */
(function () {
  "use strict";
  const form = document.querySelector("form[data-compare]"), data = window.benchCompareData;
  if (!form || !data) { return; }
  const box = document.querySelector(".side"), said = form.querySelector(".calc__said"), link = form.querySelector(".calc__link");
  const materials = Array.prototype.slice.call(form.querySelectorAll("select[name=material]"));
  const states = Array.prototype.slice.call(form.querySelectorAll("select[name=state]")), part = form.elements.part;
  const places = {}, SVG = "http://www.w3.org/2000/svg";

  /* The place of every material in every state in the lists of reasons: same order as the generator's. */
  (function () {
    let at = 0;
    data.families.forEach((family) => {
      family[2].forEach((id) => {
        if (data.materials[id].coating || data.materials[id].solder) { return; }
        data.materials[id].states.forEach((state) => { places[id + "." + state[0]] = at++; });
      });
    });
  })();

  function make(tag, text, css) {
    const made = document.createElement(tag);
    if (text) { made.textContent = text; }
    if (css) { made.className = css; }
    return made;
  }

  function anchor(address, text) {
    const made = make("a", text);
    made.href = address;
    return made;
  }

  /** Computed text with plain spaces: the columns are narrow. */
  function breaking(text) { return text.replace(/\u00a0/g, " "); }

  function verdict(pair) { return make("span", pair[1], "verdict verdict--" + pair[0]); }

  function options(select, groups) {
    groups.forEach((group) => {
      const made = document.createElement("optgroup");
      made.label = group[0];
      group[1].forEach((row) => { made.append(new Option(row[1], row[0])); });
      select.append(made);
    });
  }

  function fillStates(slot, wanted) {
    const record = data.materials[materials[slot].value], select = states[slot];
    select.textContent = "";
    (record ? record.states : [["", ""]]).forEach((state) => { select.add(new Option(state[1] || "any state", state[0], false, state[0] === wanted)); });
    select.disabled = !record || record.states.length < 2;
  }

  /** What is chosen, in order: {id, record, state}. */
  function chosen() {
    const found = [];
    materials.forEach((select, slot) => {
      const record = data.materials[select.value];
      if (record) {
        found.push({ id: select.value, record, state: record.states.filter((s) => s[0] === states[slot].value)[0] || record.states[0] });
      }
    });
    return found;
  }

  /** A figure as {shown, low, high, digits, sources, converted}; null when there is none. */
  function figure(one, row) {
    const q = one.state[3][row] || one.record.figures[row];
    return q ? { shown: q[0], low: q[1], high: q[2] === "" ? q[1] : q[2], digits: q[3], sources: q[4], converted: q[5] || "" } : null;
  }

  function rowOf(property) {
    for (let i = 0; i < data.rows.length; i++) { if (data.rows[i][0] === property) { return i; } }
    return -1;
  }

  /** Runs one of the formulas on its inputs in the order of its symbols; null where one is missing. */
  function run(name, values) {
    const program = data.programs[name], inputs = {};
    if (!program || values.some((v) => !v)) { return null; }
    program.symbols.forEach((symbol, i) => { inputs[symbol] = values[i]; });
    return benchCalc.evaluate(program.steps, inputs);
  }

  function specific(one) { return run("specific", [figure(one, rowOf("proof-strength")), figure(one, rowOf("density"))]); }

  function point(value, q) { return { low: value, high: value, digits: q.digits }; }

  /** value over base: {ratio, note}. Two guaranteed minima compare as such; a limit against a value gives a limit. */
  function ratio(value, base) {
    if (!value || !base) { return null; }
    if (value.high === null && base.high === null) {
      return { ratio: run("ratio", [point(value.low, value), point(base.low, base)]), note: "guaranteed minimum to guaranteed minimum" };
    }
    const low = value.low !== null && base.high !== null ? run("ratio", [point(value.low, value), point(base.high, base)]) : null;
    const high = value.high !== null && base.low !== null ? run("ratio", [point(value.high, value), point(base.low, base)]) : null;
    if (!low && !high) { return { ratio: null, note: "no ratio: both are limits" }; }
    return {
      ratio: { low: low ? low.low : null, high: high ? high.high : null, digits: Math.min(low ? low.digits : 99, high ? high.digits : 99), showing: { side: "", thresholds: [] } },
      note: low && high ? "" : "one of the two is only a limit"
    };
  }

  /** One bar: full up to the lowest value, outlined up to the highest, or to the edge where there is no upper end. */
  function bar(q, top) {
    const svg = document.createElementNS(SVG, "svg"), low = q.low === null ? 0 : Math.max(0, q.low), high = q.high === null ? top : q.high;
    svg.setAttribute("class", "side__bar");
    svg.setAttribute("viewBox", "0 0 100 10");
    svg.setAttribute("preserveAspectRatio", "none");
    svg.setAttribute("aria-hidden", "true");
    function piece(from, to, css) {
      const rect = document.createElementNS(SVG, "rect");
      rect.setAttribute("x", (100 * from / top).toFixed(2));
      rect.setAttribute("y", "1");
      rect.setAttribute("width", Math.max(0.01, 100 * (to - from) / top).toFixed(2));
      rect.setAttribute("height", "8");
      rect.setAttribute("class", css);
      svg.append(rect);
    }
    piece(0, top, "side__all");
    if (high > low) { piece(low, high, "side__upto"); }
    if (low > 0) { piece(0, low, "side__sure"); }
    return svg;
  }

  /** A row of cells under the names; draw(one, i) gives the contents of a cell. */
  function row(body, head, draw) {
    const line = body.insertRow(), name = make("th");
    name.scope = "row";
    name.append(head);
    line.append(name);
    chosen().forEach((one, i) => {
      const cell = line.insertCell();
      Array.prototype.concat(draw(one, i)).forEach((piece) => { cell.append(piece); });
    });
  }

  function group(table, title, columns) {
    const body = table.createTBody(), head = make("th", title, "side__group");
    head.colSpan = columns + 1;
    head.scope = "rowgroup";
    body.insertRow().append(head);
    return body;
  }

  function absent() { return make("span", "not found", "absent"); }

  function identity(table, list) {
    const body = group(table, "What it is", list.length);
    row(body, "family", (one) => {
      const family = data.families.filter((f) => f[2].includes(one.id))[0];
      return anchor("families/" + family[1] + ".html", family[0]);
    });
    row(body, "designations", (one) => one.record.codes.join(", ") || absent());
    row(body, "colour", (one) => one.record.colour || absent());
    row(body, "a magnet", (one) => one.state[2]);
  }

  function cautions(table, list) {
    row(group(table, "\u26a0 Safety", list.length), "working it", (one) => {
      const all = make("ul", "", "side__list");
      one.record.cautions.forEach((id) => {
        const item = make("li");
        item.append(anchor("cautions.html#" + id, data.cautions[id]));
        all.append(item);
      });
      return one.record.cautions.length ? all : "no caution of its own";
    });
  }

  function fits(table, list) {
    const entry = data.parts[part.value];
    if (!entry) { return; }
    const body = group(table, "For a part", list.length);
    row(body, anchor("parts/" + part.value + ".html", entry[0]), (one) => {
      if (one.record.coating) { return "a coating; judged with its base metal on the page of the part"; }
      if (one.record.solder) { return "a solder; it joins parts, and no part is made of it"; }
      const reason = entry[1][entry[2][places[one.id + "." + one.state[0]]]];
      if (!reason) { return "not judged here"; }
      return [verdict(data.rungs[reason[0]]), make("p", reason.slice(1).map((n) => data.texts[n]).join(""), "side__why")];
    });
  }

  function figures(table, list, refs) {
    const body = group(table, "Figures", list.length);
    function numbers(head, of, unit) {
      const values = list.map(of);
      if (!values.some(Boolean)) { return; }
      const ends = values.filter(Boolean).map((q) => q.high === null ? 1.15 * q.low : q.high);
      const top = Math.max.apply(null, ends);
      const name = document.createDocumentFragment();
      name.append(head + (unit ? ", " : ""), make("span", unit, "num"));
      row(body, name, (one, i) => {
        const q = values[i];
        if (!q) { return absent(); }
        const text = make("span", q.shown || breaking(benchCalc.shown(q)), "num"), pieces = [text];
        (q.sources || []).forEach((s) => {
          if (refs.indexOf(s) < 0) { refs.push(s); }
          const ref = anchor("#side-s-" + data.sources[s][0], String(refs.indexOf(s) + 1));
          ref.className = "ref";
          pieces.push(" ", ref);
        });
        if (q.converted) { pieces.push(make("small", " converted from " + q.converted)); }
        if (top > 0 && (q.high === null || q.high >= 0)) { pieces.push(bar(q, top)); }
        return pieces;
      });
    }
    data.rows.forEach((entry, i) => { numbers(entry[1], (one) => figure(one, i), entry[2]); });
    if (data.specific) { numbers(data.specific[0].toLowerCase() + " (computed)", specific, data.specific[1]); }
  }

  function ratios(table, list) {
    if (list.length < 2) { return; }
    const body = group(table, "Against the first", list.length), density = rowOf("density"), strength = rowOf("proof-strength");
    [["weight of the same part", function (one) { return figure(one, density); }], ["proof strength", function (one) { return figure(one, strength); }],
      ["strength for weight", specific]].forEach((entry) => {
      const base = entry[1](list[0]);
      row(body, entry[0], (one, i) => {
        if (i === 0) { return base ? make("span", "1", "num") : absent(); }
        const found = ratio(entry[1](one), base);
        if (!found) { return absent(); }
        if (!found.ratio) { return make("small", found.note || "no ratio"); }
        return [make("span", breaking(benchCalc.shown(found.ratio)) + " times", "num")].concat(found.note ? [make("br"), make("small", found.note)] : []);
      });
    });
  }

  function exposure(table, list) {
    const alike = [], differ = [];
    data.hazards.forEach((hazard, h) => {
      const verdicts = list.map((one) => (hazard[2][one.state[4][h]] || [])[0]);
      if (!verdicts.some((v) => v !== undefined)) { return; }
      (verdicts.some((v) => v !== verdicts[0]) ? differ : alike).push(h);
    });
    [[list.length > 1 ? "What attacks them: where they differ" : "What attacks it", list.length > 1 ? differ : alike],
      ["What attacks them: where they are alike", list.length > 1 ? alike : []]].forEach((block) => {
      if (!block[1].length) { return; }
      const body = group(table, block[0], list.length);
      block[1].forEach((h) => {
        const hazard = data.hazards[h];
        row(body, anchor("hazards/" + hazard[0] + ".html", hazard[1]), (one) => {
          const number = one.state[4][h], rule = hazard[2][number];
          if (!rule) { return "not judged here"; }
          const pieces = [verdict(data.exposureVerdicts[rule[0]])];
          if (rule[1]) { pieces.push(", " + rule[1]); }
          if (number) { pieces.push(" ", make("small")); pieces[pieces.length - 1].append(anchor("hazards/" + hazard[0] + ".html#rule-" + number, "rule " + number)); }
          return pieces;
        });
      });
    });
  }

  function sources(refs) {
    const list = make("ol", "", "refs");
    refs.forEach((s) => {
      const item = make("li");
      const [key, label, page] = data.sources[s];
      item.id = "side-s-" + key;
      item.append(anchor(page + "#" + key, label));
      list.append(item);
    });
    return [make("h2", "Sources of these figures"), list];
  }

  function draw(list) {
    box.textContent = "";
    if (!list.length) { return; }
    const wrap = make("div", "", "scroll"), table = make("table", "", "plain side__table"), head = table.createTHead().insertRow(), refs = [];
    const corner = make("th", "material");
    wrap.tabIndex = 0;
    wrap.setAttribute("role", "region");
    wrap.setAttribute("aria-label", "Side by side");
    corner.scope = "col";
    head.append(corner);
    list.forEach((one) => {
      const cell = make("th");
      cell.scope = "col";
      cell.append(anchor("materials/" + one.id + ".html", one.record.name), benchSwatch(one.id));
      if (one.state[1]) { cell.append(make("br"), make("small", one.state[1])); }
      head.append(cell);
    });
    fits(table, list);
    identity(table, list);
    figures(table, list, refs);
    ratios(table, list);
    exposure(table, list);
    cautions(table, list);
    wrap.append(table);
    box.append(wrap);
    sources(refs).forEach((piece) => { box.append(piece); });
  }

  function update() {
    const list = chosen();
    said.textContent = list.length ? list.length < 2 ? "Choose a second material." : "" : "Choose two to four materials.";
    const query = list.map((one) => one.id + (one.state[0] ? "." + one.state[0] : "")).join(",");
    link.href = location.pathname.split("/").pop() + "?m=" + query + (part.value ? "&part=" + part.value : "");
    draw(list);
  }

  materials.forEach((select, slot) => {
    options(select, data.families.map((f) => [f[0], f[2].map((id) => [id, data.materials[id].name])]));
    select.addEventListener("change", () => { fillStates(slot, ""); });
  });
  options(part, data.zones.map((z) => [z[0], z[1].map((id) => [id, data.parts[id][0]])]));
  let given = new URLSearchParams(location.search), slot = 0;
  (given.get("m") || "").split(",").forEach((word) => {
    const at = word.indexOf("."), id = at < 0 ? word : word.slice(0, at);
    if (slot < materials.length && Object.prototype.hasOwnProperty.call(data.materials, id)) {
      materials[slot].value = id;
      fillStates(slot, at < 0 ? "" : word.slice(at + 1));
      slot += 1;
    }
  });
  if (Object.prototype.hasOwnProperty.call(data.parts, given.get("part") || "")) { part.value = given.get("part"); }
  form.addEventListener("change", update);
  form.addEventListener("submit", (event) => { event.preventDefault(); });
  form.querySelector("[data-print]").addEventListener("click", () => { window.print(); });
  form.hidden = false;
  update();
})();
