/* Side by side. Receives figures, rules and verdicts from assets/compare-data.js and the choice from the form or the address;
   hands on one table, and a link that holds the choice. It judges nothing: verdicts and reasons come from the generator. */
(function () {
  "use strict";
  var form = document.querySelector("form[data-compare]"), data = window.benchCompareData;
  if (!form || !data) { return; }
  var box = document.querySelector(".side"), said = form.querySelector(".calc__said"), link = form.querySelector(".calc__link");
  var materials = Array.prototype.slice.call(form.querySelectorAll("select[name=material]"));
  var states = Array.prototype.slice.call(form.querySelectorAll("select[name=state]")), part = form.elements.part;
  var places = {}, SVG = "http://www.w3.org/2000/svg";

  /* The place of every material in every state in the lists of reasons: same order as the generator's. */
  (function () {
    var at = 0;
    data.families.forEach(function (family) {
      family[2].forEach(function (id) {
        if (data.materials[id].coating || data.materials[id].solder) { return; }
        data.materials[id].states.forEach(function (state) { places[id + "." + state[0]] = at++; });
      });
    });
  })();

  function make(tag, text, css) {
    var made = document.createElement(tag);
    if (text) { made.textContent = text; }
    if (css) { made.className = css; }
    return made;
  }

  function anchor(address, text) {
    var made = make("a", text);
    made.href = address;
    return made;
  }

  /** Computed text with plain spaces: the columns are narrow. */
  function breaking(text) { return text.replace(/\u00a0/g, " "); }

  /** The colour of a polished metal, where it is known; its name stands beside it. */
  function swatch(id) {
    var hue = (window.benchSwatches || {})[id], svg = document.createElementNS("http://www.w3.org/2000/svg", "svg"), rect;
    if (!hue) { return ""; }
    rect = document.createElementNS(svg.namespaceURI, "rect");
    [["width", "100%"], ["height", "100%"], ["fill", hue], ["class", "pic__swatch"]].forEach(function (pair) { rect.setAttribute(pair[0], pair[1]); });
    svg.setAttribute("class", "side__swatch");
    svg.setAttribute("aria-hidden", "true");
    svg.append(rect);
    return svg;
  }

  function verdict(pair) { return make("span", pair[1], "verdict verdict--" + pair[0]); }

  function options(select, groups) {
    groups.forEach(function (group) {
      var made = document.createElement("optgroup");
      made.label = group[0];
      group[1].forEach(function (row) { made.append(new Option(row[1], row[0])); });
      select.append(made);
    });
  }

  function fillStates(slot, wanted) {
    var record = data.materials[materials[slot].value], select = states[slot];
    select.textContent = "";
    (record ? record.states : [["", ""]]).forEach(function (state) { select.add(new Option(state[1] || "any state", state[0], false, state[0] === wanted)); });
    select.disabled = !record || record.states.length < 2;
  }

  /** What is chosen, in order: {id, record, state}. */
  function chosen() {
    var found = [];
    materials.forEach(function (select, slot) {
      var record = data.materials[select.value];
      if (record) {
        found.push({ id: select.value, record: record, state: record.states.filter(function (s) { return s[0] === states[slot].value; })[0] || record.states[0] });
      }
    });
    return found;
  }

  /** A figure as {shown, low, high, digits, sources, converted}; null when there is none. */
  function figure(one, row) {
    var q = one.state[3][row] || one.record.figures[row];
    return q ? { shown: q[0], low: q[1], high: q[2], digits: q[3], sources: q[4], converted: q[5] || "" } : null;
  }

  function rowOf(property) {
    for (var i = 0; i < data.rows.length; i++) { if (data.rows[i][0] === property) { return i; } }
    return -1;
  }

  /** Runs one of the formulas on its inputs in the order of its symbols; null where one is missing. */
  function run(name, values) {
    var program = data.programs[name], inputs = {};
    if (!program || values.some(function (v) { return !v; })) { return null; }
    program.symbols.forEach(function (symbol, i) { inputs[symbol] = values[i]; });
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
    var low = value.low !== null && base.high !== null ? run("ratio", [point(value.low, value), point(base.high, base)]) : null;
    var high = value.high !== null && base.low !== null ? run("ratio", [point(value.high, value), point(base.low, base)]) : null;
    if (!low && !high) { return { ratio: null, note: "no ratio: both are limits" }; }
    return {
      ratio: { low: low ? low.low : null, high: high ? high.high : null, digits: Math.min(low ? low.digits : 99, high ? high.digits : 99), showing: { side: "", thresholds: [] } },
      note: low && high ? "" : "one of the two is only a limit"
    };
  }

  /** One bar: full up to the lowest value, outlined up to the highest, or to the edge where there is no upper end. */
  function bar(q, top) {
    var svg = document.createElementNS(SVG, "svg"), low = q.low === null ? 0 : Math.max(0, q.low), high = q.high === null ? top : q.high;
    svg.setAttribute("class", "side__bar");
    svg.setAttribute("viewBox", "0 0 100 10");
    svg.setAttribute("preserveAspectRatio", "none");
    svg.setAttribute("aria-hidden", "true");
    function piece(from, to, css) {
      var rect = document.createElementNS(SVG, "rect");
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
    var line = body.insertRow(), name = make("th");
    name.scope = "row";
    name.append(head);
    line.append(name);
    chosen().forEach(function (one, i) {
      var cell = line.insertCell();
      Array.prototype.concat(draw(one, i)).forEach(function (piece) { cell.append(piece); });
    });
  }

  function group(table, title, columns) {
    var body = table.createTBody(), head = make("th", title, "side__group");
    head.colSpan = columns + 1;
    head.scope = "rowgroup";
    body.insertRow().append(head);
    return body;
  }

  function absent() { return make("span", "not found", "absent"); }

  function identity(table, list) {
    var body = group(table, "What it is", list.length);
    row(body, "family", function (one) {
      var family = data.families.filter(function (f) { return f[1] === one.record.family; })[0];
      return anchor("families/" + family[1] + ".html", family[0]);
    });
    row(body, "designations", function (one) {
      return one.record.codes.join(", ") || absent();
    });
    row(body, "colour", function (one) { return one.record.colour || absent(); });
    row(body, "a magnet", function (one) { return one.state[2]; });
  }

  function cautions(table, list) {
    row(group(table, "\u26a0 Safety", list.length), "working it", function (one) {
      var all = make("ul", "", "side__list");
      one.record.cautions.forEach(function (id) {
        var item = make("li");
        item.append(anchor("cautions.html#" + id, data.cautions[id]));
        all.append(item);
      });
      return one.record.cautions.length ? all : "no caution of its own";
    });
  }

  function fits(table, list) {
    var entry = data.parts[part.value];
    if (!entry) { return; }
    var body = group(table, "For a part", list.length);
    row(body, anchor("parts/" + part.value + ".html", entry[0]), function (one) {
      if (one.record.coating) { return "a coating; judged with its base metal on the page of the part"; }
      if (one.record.solder) { return "a solder; it joins parts and makes none"; }
      var reason = entry[1][entry[2][places[one.id + "." + one.state[0]]]];
      if (!reason) { return "not judged here"; }
      return [verdict(data.rungs[reason[0]]), make("p", data.texts[reason[1]] + data.texts[reason[2]], "side__why")];
    });
  }

  function figures(table, list, refs) {
    var body = group(table, "Figures", list.length);
    function numbers(head, of, unit) {
      var values = list.map(of);
      if (!values.some(Boolean)) { return; }
      var ends = values.filter(Boolean).map(function (q) { return q.high === null ? 1.15 * q.low : q.high; });
      var top = Math.max.apply(null, ends);
      var name = document.createDocumentFragment();
      name.append(head + (unit ? ", " : ""), make("span", unit, "num"));
      row(body, name, function (one, i) {
        var q = values[i];
        if (!q) { return absent(); }
        var text = make("span", q.shown || breaking(benchCalc.shown(q)), "num"), pieces = [text];
        (q.sources || []).forEach(function (s) {
          if (refs.indexOf(s) < 0) { refs.push(s); }
          var ref = anchor("#side-s-" + data.sources[s][0], String(refs.indexOf(s) + 1));
          ref.className = "ref";
          pieces.push(" ", ref);
        });
        if (q.converted) { pieces.push(make("small", " converted from " + q.converted)); }
        if (top > 0 && (q.high === null || q.high >= 0)) { pieces.push(bar(q, top)); }
        return pieces;
      });
    }
    data.rows.forEach(function (entry, i) { numbers(entry[1], function (one) { return figure(one, i); }, entry[2]); });
    if (data.specific) { numbers(data.specific[0].toLowerCase() + " (computed)", specific, data.specific[1]); }
  }

  function ratios(table, list) {
    if (list.length < 2) { return; }
    var body = group(table, "Against the first", list.length), density = rowOf("density"), strength = rowOf("proof-strength");
    [["weight of the same part", function (one) { return figure(one, density); }], ["proof strength", function (one) { return figure(one, strength); }],
      ["strength for weight", specific]].forEach(function (entry) {
      var base = entry[1](list[0]);
      row(body, entry[0], function (one, i) {
        if (i === 0) { return base ? make("span", "1", "num") : absent(); }
        var found = ratio(entry[1](one), base);
        if (!found) { return absent(); }
        if (!found.ratio) { return make("small", found.note || "no ratio"); }
        return [make("span", breaking(benchCalc.shown(found.ratio)) + " times", "num")].concat(found.note ? [make("br"), make("small", found.note)] : []);
      });
    });
  }

  function exposure(table, list) {
    var alike = [], differ = [];
    data.hazards.forEach(function (hazard, h) {
      var verdicts = list.map(function (one) { return (hazard[2][one.state[4][h]] || [])[0]; });
      if (!verdicts.some(function (v) { return v !== undefined; })) { return; }
      (verdicts.some(function (v) { return v !== verdicts[0]; }) ? differ : alike).push(h);
    });
    [[list.length > 1 ? "What attacks them: where they differ" : "What attacks it", list.length > 1 ? differ : alike],
      ["What attacks them: where they are alike", list.length > 1 ? alike : []]].forEach(function (block) {
      if (!block[1].length) { return; }
      var body = group(table, block[0], list.length);
      block[1].forEach(function (h) {
        var hazard = data.hazards[h];
        row(body, anchor("hazards/" + hazard[0] + ".html", hazard[1]), function (one) {
          var number = one.state[4][h], rule = hazard[2][number];
          if (!rule) { return "not judged here"; }
          var pieces = [verdict(data.exposureVerdicts[rule[0]])];
          if (rule[1]) { pieces.push(", " + rule[1]); }
          if (number) { pieces.push(" ", make("small")); pieces[pieces.length - 1].append(anchor("hazards/" + hazard[0] + ".html#rule-" + number, "rule " + number)); }
          return pieces;
        });
      });
    });
  }

  function sources(refs) {
    var list = make("ol", "", "refs");
    refs.forEach(function (s) {
      var item = make("li");
      item.id = "side-s-" + data.sources[s][0];
      item.append(anchor(data.sources[s][2], data.sources[s][1]));
      list.append(item);
    });
    return [make("h2", "Sources of these figures"), list];
  }

  function draw(list) {
    box.textContent = "";
    if (!list.length) { return; }
    var wrap = make("div", "", "scroll"), table = make("table", "", "plain side__table"), head = table.createTHead().insertRow(), refs = [];
    var corner = make("th", "material");
    wrap.tabIndex = 0;
    wrap.setAttribute("role", "region");
    wrap.setAttribute("aria-label", "Side by side");
    corner.scope = "col";
    head.append(corner);
    list.forEach(function (one) {
      var cell = make("th");
      cell.scope = "col";
      cell.append(anchor("materials/" + one.id + ".html", one.record.name), swatch(one.id));
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
    sources(refs).forEach(function (piece) { box.append(piece); });
  }

  function update() {
    var list = chosen();
    said.textContent = list.length ? list.length < 2 ? "Choose a second material." : "" : "Choose two to four materials.";
    var query = list.map(function (one) { return one.id + (one.state[0] ? "." + one.state[0] : ""); }).join(",");
    link.href = location.pathname.split("/").pop() + "?m=" + query + (part.value ? "&part=" + part.value : "");
    draw(list);
  }

  materials.forEach(function (select, slot) {
    options(select, data.families.map(function (f) { return [f[0], f[2].map(function (id) { return [id, data.materials[id].name]; })]; }));
    select.addEventListener("change", function () { fillStates(slot, ""); });
  });
  options(part, data.zones.map(function (z) { return [z[0], z[1].map(function (id) { return [id, data.parts[id][0]]; })]; }));
  var given = new URLSearchParams(location.search), slot = 0;
  (given.get("m") || "").split(",").forEach(function (word) {
    var at = word.indexOf("."), id = at < 0 ? word : word.slice(0, at);
    if (slot < materials.length && Object.prototype.hasOwnProperty.call(data.materials, id)) {
      materials[slot].value = id;
      fillStates(slot, at < 0 ? "" : word.slice(at + 1));
      slot += 1;
    }
  });
  if (Object.prototype.hasOwnProperty.call(data.parts, given.get("part") || "")) { part.value = given.get("part"); }
  form.addEventListener("change", update);
  form.addEventListener("submit", function (event) { event.preventDefault(); });
  form.querySelector("[data-print]").addEventListener("click", function () { window.print(); });
  form.hidden = false;
  update();
})();
