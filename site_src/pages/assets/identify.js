/* What is this metal. Takes from assets/identify-data.js the answers that each material allows to each observation, and
   the observations from the form or the address; gives what remains, what fell out and why, and the next gentle test.
   The only elimination there is; the tests run this script too. */
(function () {
  "use strict";
  let OBSERVED, OF_STATE, BELOW;

  function overlaps(a, b) {
    return (a[0] === null || b[1] === null || a[0] <= b[1]) && (b[0] === null || a[1] === null || b[0] <= a[1]);
  }

  function allows(allowed, observation, answer) {
    if (allowed === null) { return true; }
    return observation === "density" ? overlaps(allowed, answer) : allowed.indexOf(answer) >= 0;
  }

  function take(data) {
    OBSERVED = Object.keys(data.observed);
    OF_STATE = data.ofState;
    BELOW = data.below;
  }

  /** {left: [{id, states, unknown}], out: [{id, by}]}: which materials remain, and which are ruled out by which observations. */
  function eliminate(materials, observed) {
    const left = [], out = [], made = OBSERVED.filter((o) => o in observed);
    materials.forEach((material) => {
      function allowances(o, states) { return OF_STATE.indexOf(o) >= 0 ? states.map((s) => s[o]) : [material[o]]; }
      const states = material.states.filter((s) => OF_STATE.every((o) => !(o in observed) || allows(s[o], o, observed[o])));
      let against = made.filter((o) => !allowances(o, material.states).some((allowed) => allows(allowed, o, observed[o])));
      if (!against.length && !states.length) { against = OF_STATE.slice(); }
      if (against.length) { out.push({ id: material.id, by: against }); return; }
      left.push({
        id: material.id,
        states: states.length < material.states.length ? states.map((s) => s.name) : [],
        unknown: made.filter((o) => allowances(o, states).every((allowed) => allowed === null))
      });
    });
    return { left, out };
  }

  /** What a bare piece may be; and, if it is coated, what the coating may be and what may lie below it. */
  function identify(data, observed) {
    take(data);
    const bases = data.materials.filter((m) => !m.coating), coatings = data.materials.filter((m) => m.coating);
    const onTop = eliminate(coatings, "colour" in observed ? { colour: observed.colour } : {}), below = {};
    BELOW.forEach((o) => { if (o in observed) { below[o] = observed[o]; } });
    const kept = onTop.left.map((e) => e.id);
    /* A nickel skin is attracted by itself; then the magnet says nothing of what lies below. */
    if ((below.magnet === "trace" || below.magnet === "strong") && coatings.some((m) => kept.indexOf(m.id) >= 0 && m.states.some((s) => s.magnet !== null && s.magnet.indexOf(below.magnet) >= 0))) { delete below.magnet; }
    return {
      bare: eliminate(bases, observed), coatings: onTop.left, below: eliminate(bases, below),
      strangeMark: "mark" in observed && !bases.some((m) => allows(m.mark, "mark", observed.mark) && (!("colour" in observed) || allows(m.colour, "colour", observed.colour))),
      maybeMagnesium: "density" in observed && overlaps(observed.density, data.light)
    };
  }

  /** The material with only the states that remain, and what any of them allows. */
  function seen(material, names) {
    const copy = Object.assign({}, material), kept = material.states.filter((s) => !names.length || names.indexOf(s.name) >= 0);
    OF_STATE.forEach((o) => {
      copy[o] = kept.some((s) => s[o] === null) ? null : Array.prototype.concat.apply([], kept.map((s) => s[o]));
    });
    return copy;
  }

  function toldApart(a, b, observation, streak) {
    const x = a[observation], y = b[observation];
    if (x === null || y === null) { return false; }
    if (observation === "density") { return !overlaps(x, y); }
    if (observation === "stone") { return x[0] !== y[0] || Math.abs(x[1] - y[1]) > streak; }
    return !x.some((answer) => y.indexOf(answer) >= 0);
  }

  /** How many pairs of these one observation tells apart; those that allow the same answers are compared once. */
  function pairsTold(materials, observation, streak) {
    const kinds = new Map();
    let count = 0;
    materials.forEach((one) => {
      const key = JSON.stringify(one[observation]), kind = kinds.get(key);
      if (kind) { kind.many += 1; } else { kinds.set(key, { one, many: 1 }); }
    });
    const all = Array.from(kinds.values());
    all.forEach((a, i) => {
      all.slice(i).forEach((b) => {
        if (toldApart(a.one, b.one, observation, streak)) { count += a === b ? a.many * (a.many - 1) / 2 : a.many * b.many; }
      });
    });
    return count;
  }

  /** How many pairs of what remains each further test tells apart, and the gentlest one that does at least half as well as the best. */
  function nextTests(data, left, observed, tests) {
    take(data);
    const byId = {}, told = [], pairs = left.length * (left.length - 1) / 2;
    data.materials.forEach((m) => { byId[m.id] = m; });
    const remaining = left.map((e) => seen(byId[e.id], e.states));
    data.tests.forEach((test) => {
      if (test[2] in observed || (tests && tests.indexOf(test[0]) < 0)) { return; }
      told.push([test[0], pairsTold(remaining, test[2], data.streak)]);
    });
    const best = Math.max.apply(null, [0].concat(told.map((t) => t[1])));
    const first = told.filter((t) => t[1] && 2 * t[1] >= best)[0];
    return { pairs, told, first: first ? first[0] : null };
  }

  /** Density from two weighings, each good to one step of the balance: {low, high, digits}; null when the loss drowns in the steps. */
  function weighed(data, inAir, inWater, warmth, step) {
    const water = benchCalc.evaluate(data.weigh.water, { t: { low: warmth, high: warmth, digits: 99 } });
    const lost = { low: inAir - inWater - 2 * step, high: inAir - inWater + 2 * step, digits: 99 };
    if (!water || lost.low < step / 1000) { return null; }
    return benchCalc.evaluate(data.weigh.program, { m_air: { low: inAir - step, high: inAir + step, digits: 99 }, m_lost: lost, rho_w: water });
  }

  globalThis.benchIdentify = { identify, eliminate, nextTests, overlaps, weighed, take };
  if (typeof document === "undefined") { return; }

  let form = document.querySelector("form[data-identify]"), data = window.benchIdentifyData;
  if (!form || !data) { return; }
  /* Only the metals that another page asks about, such as those that one part may be made of; coatings stay. */
  const among = (new URLSearchParams(location.search).get("among") || "").split(",").filter(Boolean);
  if (among.length) {
    data = Object.assign({}, data, { materials: data.materials.filter((m) => m.coating || among.indexOf(m.id) >= 0) });
    form.before(Object.assign(document.createElement("p"), { className: "note", textContent: "Only the metals that this part is made of are asked about. To ask about every metal, open this page from the menu." }));
  }
  const FINE = 1.03; /* a span of more than three per cent would gain from a finer balance */
  const CHOICES = ["colour", "mark", "tarnish", "magnet", "file", "spark"], WEIGHINGS = ["in_air", "in_water", "warmth", "step"];
  const count = form.querySelector(".calc__result"), said = form.querySelector(".calc__said"), found = form.querySelector(".observe__found");
  const link = form.querySelector(".calc__link"), made = form.querySelector(".observe__made"), shown = form.querySelector("[data-density]"), records = {};
  data.materials.forEach((m) => { records[m.id] = m; });

  function make(tag, text, css) {
    const made = document.createElement(tag);
    if (text) { made.textContent = text; }
    if (css) { made.className = css; }
    return made;
  }

  function chosen(name) {
    const field = form.elements[name];
    return field ? field.value : "";
  }

  function number(text) {
    const plain = text.trim().replace(",", ".").replace(/\s*(g|\u00b0C)$/i, "");
    return /^\d{1,5}(\.\d{1,6})?$/.test(plain) ? +plain : null;
  }

  /** Grams to the decimal place of the balance's step. */
  function grams(mass, step) { return mass.toFixed(Math.max(0, Math.ceil(-Math.log10(step) - 1e-9))); }

  /** Both ends to so many places, rounded outwards so that nothing of the span is lost. */
  function outward(low, high, places) {
    const scale = Math.pow(10, places);
    return (Math.floor(low * scale + 1e-9) / scale).toFixed(places) + " to " + (Math.ceil(high * scale - 1e-9) / scale).toFixed(places);
  }

  /** The density interval that was weighed, or null; a slip is said in a sentence. */
  function density() {
    shown.textContent = "";
    if (!form.elements.in_air.value.trim() && !form.elements.in_water.value.trim()) { return null; }
    const values = WEIGHINGS.map((name) => number(form.elements[name].value));
    function slip(sentence) { said.textContent = sentence; return null; }
    if (values[0] === null || values[1] === null) { return slip("Type both weights in grams, such as 12.34; until then the weighing does not count."); }
    if (values[0] < data.weigh.mass[0] || values[0] > data.weigh.mass[1]) { return slip("The weighing is meant for " + data.weigh.mass.join(" to ") + "\u00a0g."); }
    if (values[2] === null || values[2] < data.weigh.warmth[0] || values[2] > data.weigh.warmth[1]) {
      return slip("Type the water temperature, from " + data.weigh.warmth.join(" to ") + "\u00a0\u00b0C.");
    }
    if (!(values[3] > 0)) { return slip("Type the smallest step of the balance in grams, such as 0.01."); }
    if (values[1] >= values[0]) { return slip("In water it must weigh less than in air."); }
    const q = weighed(data, values[0], values[1], values[2], values[3]);
    if (!q) { return slip("The loss in water is no larger than the error of the balance. Use a finer balance or a larger piece."); }
    const places = q.high - q.low < 0.02 ? 3 : 2, middle = +((q.low + q.high) / 2).toFixed(places), lost = values[0] - values[1];
    /* Rounded up, so that middle and error cover the whole span. */
    const error = Math.ceil(Math.max(q.high - middle, middle - q.low) * Math.pow(10, places) - 1e-9) / Math.pow(10, places);
    shown.append(make("strong", "Density " + outward(q.low, q.high, places) + "\u00a0g/cm\u00b3"),
      ", that is " + middle.toFixed(places) + "\u00a0\u00b1\u00a0" + error.toFixed(places) + " (\u00b1\u00a0" + (100 * error / middle).toFixed(1) +
      "\u00a0%). Each weighing is taken as good to \u00b1\u00a0" + values[3] + "\u00a0g, so the " + grams(lost, values[3]) + "\u00a0g lost in water may be " +
      grams(lost - 2 * values[3], values[3]) + " to " + grams(lost + 2 * values[3], values[3]) + "\u00a0g.");
    return [q.low, q.high];
  }

  function observations() {
    const observed = {};
    said.textContent = "";
    CHOICES.forEach((name) => { if (chosen(name)) { observed[name] = chosen(name); } });
    const weight = data.weigh ? density() : null;
    if (weight) { observed.density = weight; }
    return observed;
  }

  function words(list) { return list.map((o) => data.observed[o]).join(", "); }

  /** A line of a list; `asked` tells whether it was weighed and filed. */
  function entry(e, asked) {
    const item = make("li"), name = make("a", records[e.id].name.charAt(0).toUpperCase() + records[e.id].name.slice(1)), notes = [];
    name.href = "materials/" + e.id + ".html";
    item.append(name, benchSwatch(e.id));
    if (e.states && e.states.length) { notes.push("only " + e.states.join(" or ")); }
    /* What rules out says where it is borrowed; what remains, also where it is worked out. */
    const says = (o, from, made) => from && (e.by ? e.by.indexOf(o) >= 0 && from.charAt(0) === "◇" : made);
    if (says("density", records[e.id].densityFrom, asked.weighed && e.unknown)) { notes.push("density " + records[e.id].densityFrom); }
    if (says("file", records[e.id].fileFrom, asked.filed)) { notes.push("hardness " + records[e.id].fileFrom); }
    if (e.unknown && e.unknown.length) { notes.push("not known: " + words(e.unknown)); }
    if (notes.length) { item.append(make("small", notes.join("; "))); }
    return item;
  }

  function list(entries) {
    const made = make("ul", "", "remain"), asked = { weighed: chosen("in_air").trim(), filed: chosen("file") };
    entries.forEach((e) => { made.append(entry(e, asked)); });
    return made;
  }

  function fold(title, content) {
    const made = make("details"), head = make("summary", title);
    made.append(head);
    content.forEach((piece) => { made.append(piece); });
    return made;
  }

  /** What remains: first what is known to fit, then what only is not ruled out. */
  function remaining(title, left) {
    const sure = left.filter((e) => !e.unknown.length), unsure = left.filter((e) => e.unknown.length);
    if (sure.length > 12) { found.append(fold(title + " (" + sure.length + ")", [list(sure)])); }
    else if (sure.length) { found.append(make("h2", title), list(sure)); }
    if (unsure.length) { found.append(make("h2", "Still possible: no figure"), list(unsure)); }
  }

  function fallen(out) {
    if (!out.length) { return; }
    const groups = {}, order = [];
    out.forEach((e) => {
      const key = words(e.by);
      if (!groups[key]) { groups[key] = []; order.push(key); }
      groups[key].push({ id: e.id, by: e.by });
    });
    found.append(make("h2", "Ruled out"));
    order.forEach((key) => { found.append(fold("by " + key + " (" + groups[key].length + ")", [list(groups[key])])); });
  }

  /** Where nothing fits everything: what would remain without each single observation. */
  function doubts(observed, strangeMark) {
    if (strangeMark) {
      found.append(make("p", "No alloy of this mark " + ("colour" in observed ? "and colour " : "") + "is in the base. That says nothing against the mark or the piece: " +
        "an assay office can give fineness and alloy.", "warn"));
    } else {
      found.append(make("p", "None of the metals known here. It may be a metal that has no record here, or the piece is coated, hollow or made of " +
        "several metals, or one observation is wrong.", "warn"));
    }
    Object.keys(observed).forEach((o) => {
      const fewer = Object.assign({}, observed);
      delete fewer[o];
      const left = identify(data, fewer).bare.left;
      if (left.length) { found.append(fold("Without " + data.observed[o] + " (" + left.length + ")", [list(left)])); }
    });
  }

  function coated(result, observed) {
    found.append(make("h2", "If it is coated"));
    if (!result.coatings.length) { found.append(make("p", "No coating of this colour is known here.")); return; }
    found.append(make("p", "The coating hides what is below. " + ("density" in observed ? "The density is that of the metal below." : "Magnet and density speak for the metal below.")));
    found.append(fold("The skin may be (" + result.coatings.length + ")", [list(result.coatings)]));
    const below = Object.keys(observed).some((o) => data.below.indexOf(o) >= 0);
    if (!below) { found.append(make("p", "Nothing yet speaks for the metal below: try magnet and weight.")); return; }
    found.append(result.below.left.length ? fold("Below it may lie (" + result.below.left.length + ")", [list(result.below.left)]) : make("p", "Nothing here fits below."));
  }

  function advice(left, observed, tests) {
    if (left.length < 2) { return; }
    const next = nextTests(data, left, observed, tests), names = {};
    data.tests.forEach((t) => { names[t[0]] = t[1]; });
    found.append(make("h2", Object.keys(observed).length ? "Next test" : "The test that helps most next"));
    if ("density" in observed && observed.density[1] > FINE * observed.density[0]) {
      found.append(make("p", "The weighing leaves a wide span. Weigh again on a finer balance before anything that marks."));
    }
    if (!next.first) {
      found.append(make("p", "No further test here tells these apart. A laboratory can (X-ray fluorescence), and for gold, silver and platinum the assay office."));
      return;
    }
    const panel = make("div", "", "next"), told = next.told.filter((t) => t[0] === next.first)[0][1];
    /* The name leads on at once, unless cautions are to be read first. */
    const section = document.getElementById("test-" + next.first), how = section && !section.querySelector(".cautions, .warn") && section.querySelector("p:last-child > a[href]");
    const title = names[next.first].charAt(0).toUpperCase() + names[next.first].slice(1), line = make("p", how ? "" : title, "next__name");
    if (how) {
      line.append(how.cloneNode());
      line.firstChild.textContent = title;
    }
    line.append(": would separate " + told + " of the " + next.pairs + " remaining pairs.");
    panel.append(line);
    if (section) { Array.prototype.slice.call(section.children, 1).forEach((piece) => { panel.append(piece.cloneNode(true)); }); }
    found.append(panel);
    const others = next.told.filter((t) => t[0] !== next.first);
    if (others.length) {
      found.append(make("p", "The others would separate: " + others.map((t) => names[t[0]] + " " + t[1]).join(", ") + "."));
    }
  }

  /** What was observed in one sentence, for paper, where the questions do not stand. */
  function saidSoFar(observed) {
    const told = ["coated"].concat(CHOICES).filter(chosen).map((name) => {
      const field = form.elements[name], option = field.options ? field.options[field.selectedIndex] : form.querySelector("[name=" + name + "]:checked").parentNode;
      return (data.observed[name] || "bare or coated") + ": " + option.textContent.trim().toLowerCase();
    });
    if ("density" in observed) {
      told.push("weighed " + chosen("in_air") + "\u00a0g in air, " + chosen("in_water") + "\u00a0g in water of " + chosen("warmth") + "\u00a0\u00b0C. " + shown.textContent);
    }
    return told.length ? "Observed: " + told.join("; ") : "";
  }

  function hold() {
    const query = [];
    ["coated"].concat(CHOICES, WEIGHINGS).forEach((name) => { if (chosen(name)) { query.push(name + "=" + encodeURIComponent(chosen(name))); } });
    link.href = location.pathname.split("/").pop() + "?" + query.join("&");
  }

  function update() {
    const observed = observations(), result = identify(data, observed), skin = chosen("coated"), all = result.bare.left.length + result.bare.out.length;
    const left = skin === "coated" ? result.below.left : result.bare.left;
    hold();
    found.textContent = "";
    made.textContent = saidSoFar(observed);
    form.classList.toggle("observe--made", Boolean(made.textContent));
    count.textContent = left.length + " of " + all + (skin === "coated" ? " may lie below the coating" : left.length === 1 ? " fits" : " fit");
    if (!Object.keys(observed).length) {
      found.append(make("p", "Begin with what you see. Every answer rules out what does not fit."));
    }
    if (result.maybeMagnesium) {
      found.append(make("p", "A metal this light could be magnesium: no grinding, no sparks, no flame. Its dust and swarf burn and water makes it worse. " +
        "Beryllium is as light, and its dust is poison.", "warn"));
    }
    if (skin === "coated") {
      coated(result, observed);
      advice(left, observed, ["magnet", "weigh"]);
      fallen(result.below.out);
      return;
    }
    if (left.length) { remaining("What fits", left); } else { doubts(observed, result.strangeMark); }
    if (left.length && Object.keys(observed).length) {
      found.append(make("p", "Of the metals known here. A metal without a record may show the same signs."));
    }
    if (left.length > 1 && left.length < 5) {
      const beside = make("a", "Put these side by side", "button");
      beside.href = "compare.html?m=" + left.map((e) => e.id).join(",");
      found.append(beside);
    }
    advice(left, observed);
    if (!skin && Object.keys(observed).length) { coated(result, observed); }
    fallen(result.bare.out);
  }

  const given = new URLSearchParams(location.search);
  given.forEach((value, name) => {
    const field = form.elements[name];
    if (field && ["coated"].concat(CHOICES, WEIGHINGS).indexOf(name) >= 0) { field.value = value; }
  });
  form.addEventListener("input", update);
  form.addEventListener("reset", () => { setTimeout(update, 0); });
  form.addEventListener("submit", (event) => { event.preventDefault(); });
  form.hidden = false;
  update();
})();
