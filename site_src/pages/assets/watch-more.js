/* The watch sheet, further answers: baths, weights, field, and what is to be done; added to those of watch.js when the first
   fold is opened or the sheet is printed. No page, no storage. */
(function () {
  "use strict";
  const { lookups, verdictOf, reading, exact, span, run } = benchWatch;
  const EXACT = 99, SLOW = 2, NOW = 3, CARE = 1, SUFFERS = 2, FAILS = 3, METAL = 0, STRONG = 2;

  /** For each bath the parts that stay out, that it harms in time, that go in with care, and the rest. */
  function bathsOf(data, watch, parts) {
    return data.baths.map(([name, hazard, loosens, spoils, say]) => {
      const joined = new Set(watch.joins.filter(j => loosens.includes(j[2])).flatMap(j => [j[0], j[1]]));
      const made = { name, hazard, say, out: [], harmed: [], care: [], open: [], may: [], said: false };
      parts.forEach(part => {
        /* A bath gets through pores, holes and edges: a coated piece is as its base where that is worse. */
        const kept = spoils.includes(part.roleId) || joined.has(part.i), rank = v => (v.verdict > FAILS ? -1 : v.verdict);
        const found = part.material && [part.state, part.skinState].map(s => verdictOf(data, s, hazard)).sort((x, y) => rank(y) - rank(x))[0];
        made.said = made.said || kept;
        const how = found && found.verdict >= SUFFERS && found.verdict <= FAILS ? found.how : "";
        if (kept || (found && found.verdict === FAILS)) { made.out.push({ part, kept, how }); }
        else if (found && found.verdict === SUFFERS) { made.harmed.push({ part, kept, how }); }
        else if (!found || found.verdict > FAILS) { made.open.push(part); }
        else { (found.verdict === CARE ? made.care : made.may).push(part); }
      });
      return made;
    });
  }

  function plus(a, b) { return a === null ? b : b === null ? null : benchCalc.evaluate(["a", "b", "+"], { a, b }); }

  function massOf(data, sheet, part) {
    const weighed = reading(sheet, part.key, "weight-in-air");
    if (weighed) { return { low: String(weighed.value - weighed.doubt), high: String(weighed.value + weighed.doubt), digits: EXACT, own: true }; }
    if (!part.grams) { return null; }
    if (part.assumed || !part.usual || part.material === part.usual.row) { return exact(part.grams); }
    return part.material ? run(data.programs.same, { m: exact(part.grams), rho_old: span(part.usual.row[4]), rho_new: span(part.material[4]) }) : null;
  }

  /** Weight of the metal parts of the case now, in another metal, and the fine metal in the watch: quantities in g, or null. */
  function weights(data, sheet, parts, other) {
    const look = lookups(data), row = look.material.has(other) ? data.materials[look.material.get(other).i] : null;
    const cased = ["case", "crown"].map(z => look.zone.get(z)), counted = parts.filter(p => massOf(data, sheet, p) && p.material), fine = new Map();
    const metal = counted.filter(p => p.outside && cased.includes(p.zone) && p.material[2] === METAL);
    const total = list => list.reduce((sum, q) => (sum === undefined ? q : plus(sum, q)), undefined) || null;
    counted.filter(p => p.material[5]).forEach(part => {
      const [symbol, low, high] = part.material[5], got = run(data.programs.fine, { m: massOf(data, sheet, part), f: { low, high, digits: EXACT } });
      if (got) { fine.set(symbol, fine.has(symbol) ? plus(fine.get(symbol), got) : got); }
    });
    return {
      parts: metal, all: total(counted.map(p => massOf(data, sheet, p))), now: total(metal.map(p => massOf(data, sheet, p))), other: row,
      then: row ? total(metal.map(p => run(data.programs.same, { m: massOf(data, sheet, p), rho_old: span(p.material[4]), rho_new: span(row[4]) }))) : null,
      fine: [...fine], cautions: namedOf(data, row), invented: counted.some(p => !reading(sheet, p.key, "weight-in-air"))
    };
  }

  /** Cautions of working a metal, by their places. */
  const namedOf = (data, row) => (row ? row[7].map(c => ({ id: data.cautions[c][0], name: data.cautions[c][1] })) : []);
  /** What a magnet would find near the balance: parts that are attracted, with what a field does to them. */
  function fieldOf(data, parts) {
    const look = lookups(data), near = ["balance", "escapement"].map(z => look.zone.get(z)), hazard = look.hazard.get("magnetic-field");
    const there = parts.filter(p => near.includes(p.zone));
    return {
      bears: data.field, there: there.length, open: there.filter(p => p.open),
      attracted: there.filter(p => p.state && p.state[2] === STRONG).map(part => ({ part, ...(hazard === undefined ? { verdict: 4, how: "" } : verdictOf(data, part.state, hazard)) }))
    };
  }

  /** What is known of the coating of an outside part. */
  function coatingLeft(sheet, part) {
    const found = reading(sheet, part.key, "plating-thickness");
    return found ? "coating measured " + found.value + (found.doubt ? " \u00b1 " + found.doubt : "") + " \u00b5m: set that against what a polish takes" : "how much of the coating is left? No mop until that is known";
  }

  function workOf(data, sheet, a) {
    const seals = lookups(data).zone.get("seals"), bad = new Set(a.places.filter(p => p.level >= NOW).map(p => p.part)), going = new Set(a.contacts.filter(c => c.level >= SLOW).map(c => c.goes));
    const harmed = new Set(a.life.filter(l => l.level >= SLOW).flatMap(l => l.parts)), thin = a.parts.filter(p => p.coating && p.outside);
    const rows = a.parts.map(part => {
      if (part.zone === seals) { return ["replace", part, "fit a new seal at every service"]; }
      if (bad.has(part)) { return ["replace", part, "wrong for its place"]; }
      if (part.open) { return ["test", part, "metal not known"]; }
      if (going.has(part)) { return ["test", part, "corrodes beside its neighbour: look for it"]; }
      if (part.roleId === "luminous-dot") { return ["test", part, "measure before you open: old paint may be radioactive"]; }
      if (harmed.has(part)) { return ["test", part, "harmed by what it meets"]; }
      return thin.includes(part) ? ["test", part, coatingLeft(sheet, part)] : ["leave", part, ""];
    });
    const water = a.parts.some(p => p.zone === seals) ? "Seals age: new ones, then a pressure test, before it meets water. Until then it is not known to keep water out." : "No seals are known in this kind: it is not for water.";
    const first = a.cautions.some(c => c.id === "button-cells" && c.far === 0) ? ["Take the cell out first and look for a leak; close it away from children."] : [];
    return { first: [...first, water], replace: rows.filter(r => r[0] === "replace"), test: rows.filter(r => r[0] === "test"), leave: rows.filter(r => r[0] === "leave") };
  }

  /** The answers with what stands in the folds; `other` is the metal in which the case is weighed again. */
  function add(data, sheet, a, other) {
    a.baths = bathsOf(data, a.watch, a.parts);
    a.weights = weights(data, sheet, a.parts, other);
    a.field = fieldOf(data, a.parts);
    a.work = workOf(data, sheet, a);
    return a;
  }

  globalThis.benchMore = { add };
})();
