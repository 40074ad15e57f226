/* The answers of the watch sheet, without page or storage: looks up in assets/watch-data.js what Python judged.
   Needs calc.js and identify.js. The page is watch-page.js. */
(function () {
  "use strict";
  const SIGNS = "0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ", EXACT = 99;
  const LOOK = 1, SLOW = 2, NOW = 3;                       // how grave a finding is
  const CARE = 1, SUFFERS = 2, FAILS = 3;                  // verdicts by place; 0 holds, 4 cannot say
  const PINCH = 2, PAPER = 3, NO = 4, CANNOT = 5;          // rungs by place; 0 usual choice, 1 just as good
  const METAL = 0;
  const tables = new WeakMap();

  /** Look-ups made once from the data. */
  function lookups(data) {
    if (!tables.has(data)) {
      const material = new Map(), list = rows => new Map(rows.map((row, i) => [row[0], i]));
      let start = 0;
      data.materials.forEach((m, i) => { material.set(m[0], { i, start }); start += m[10].length; });
      tables.set(data, {
        material, situation: list(data.situations), join: new Map(data.joins.map(j => [j[0], j])), zone: list(data.zones),
        activity: new Map(data.activities.map(a => [a[0], a])), hazard: list(data.hazards)
      });
    }
    return tables.get(data);
  }

  /** The shared data with that of one kind of watch. */
  function ready(shared, kind, idata) {
    const materials = shared.materials.map(row => {
      const known = idata.materials[row[0]];
      return known ? [known.id, known.name, ...row.slice(2, 10), row[10].map((s, k) => [s[0], known.states[k].name, ...s.slice(2)])] : row;
    });
    return { ...shared, ...kind, materials };
  }

  /** The verdict on a state for a part: {rung, why, hazard}; null if not judged. */
  function standing(data, role, place) {
    const reason = data.reasons[data.signs.indexOf(data.cells[place].charAt(role))];
    return reason ? { rung: reason[0], why: reason[1], hazard: Boolean(reason[2]) } : null;
  }

  const upper = text => text.charAt(0).toUpperCase() + text.slice(1), lower = text => text.charAt(0).toLowerCase() + text.slice(1);
  const order = s => (s ? [0, 1, 2, 4, 5, 3][s.rung] : 6);   // best first: own, beside, pinch, cannot say, paper, no

  /** The state that was set, else the best for the part. */
  function stateOf(data, role, found, id) {
    const states = found.row[10], named = states.findIndex(s => s[0] === id);
    if (named >= 0 && id) { return { k: named, set: true }; }
    const best = states.map((s, k) => [order(standing(data, role, found.start + k)), k]).sort((a, b) => a[0] - b[0] || a[1] - b[1])[0];
    return { k: best[1], set: states.length < 2 };
  }

  /** Every part with its material: by the sheet, else as usual for the kind. */
  function partsOf(data, sheet) {
    const look = lookups(data);
    const of = id => (look.material.has(id) ? { row: data.materials[look.material.get(id).i], ...look.material.get(id) } : null);
    return data.watch.parts.map(([key, role, name, material, state, coating, outside, oiled, grams], i) => {
      const row = data.parts[role], own = Object.hasOwn(sheet.parts, key) ? sheet.parts[key] : null;
      const usual = material < 0 ? null : of(data.materials[material][0]), set = own ? own.material : usual && usual.row[0];
      const found = set ? of(set) : null, coat = own ? of(own.coating) : coating < 0 ? null : of(data.materials[coating][0]);
      const part = {
        i, key, role, row, roleId: row[0], name: upper(name || row[1]), zone: row[2], outside: Boolean(outside), oiled: Boolean(oiled), grams,
        assumed: !own, open: !found, strange: Boolean(own && own.material && !found), usual, material: found && found.row, coating: coat && coat.row, state: null
      };
      if (found) {
        const chosen = stateOf(data, role, found, own ? own.state : state);
        part.state = found.row[10][chosen.k];
        part.stateSet = chosen.set;
        part.place = found.start + chosen.k;
      }
      part.skin = part.coating || part.material;
      part.skinState = part.coating ? part.coating[10][0] : part.state;
      return part;
    });
  }

  function verdictOf(data, state, hazard) {
    const number = SIGNS.indexOf(data.exposures[state[3]].charAt(hazard)), row = data.hazards[hazard][2][number] || data.hazards[hazard][2][0];
    return { verdict: row[0], how: row[1] || "", look: row[2] || "", putRight: Boolean(row[3]), fast: row[4] || "" };
  }

  /** "case back (316L)" */
  function called(part) { return part.name + " (" + (part.coating ? part.coating[1] + " on " : "") + (part.material ? part.material[1] : "open") + ")"; }

  /* ---- Metals in contact ---- */

  function outcome(data, a, b) {
    const flipped = a > b, found = data.contact.outcomes[data.contact.pairs[Math.min(a, b)][Math.abs(a - b)]];
    return { found, flipped };
  }

  /** The worse of open and gap: {side (0, 1 or -1), degree}; `small` is the smaller side or -1. */
  function attack(data, a, b, situation, small, gap) {
    const { found, flipped } = outcome(data, a, b), [open, inGap] = found[situation];
    const tried = [open, gap ? inGap : 0].filter(Array.isArray).map(([goes, alike, ifSmall, ifLarge]) => {
      const side = flipped ? 1 - goes : goes;
      return { side, degree: small < 0 ? alike : side === small ? ifSmall : ifLarge };
    });
    const worst = tried.sort((x, y) => y.degree - x.degree)[0] || { side: -1, degree: 0 };
    return worst;
  }

  /** What the trade says of two metals that it joins on purpose; a plated piece counts as its base too, for backs and tubes of
      steel are fitted to plated brass as to bare. */
  function usualOf(data, pair, situation) {
    const sides = pair.map(p => [p.skin, p.material].filter(m => m && m[3] >= 0).map(m => m[3]));
    const found = sides[0].flatMap(a => sides[1].map(b => outcome(data, a, b).found[situation][2])).filter(usual => usual >= 0);
    return found.length ? data.contact.usual[found[0]] : "";
  }

  const grave = degree => (degree === 0 ? 0 : degree === 1 ? SLOW : NOW);

  function contactsOf(data, watch, parts) {
    const look = lookups(data);
    return watch.joins.flatMap(([a, b, how, where, small, note]) => {
      const pair = [parts[a], parts[b]], join = look.join.get(how), at = look.situation.get(where);
      const judged = worn => {
        const made = { pair, worn, how: join ? join[1] : how, where: at, note, level: 0, degree: 0, goes: null, other: null, usual: "", cell: false, open: pair.some(p => p.open), all: [] };
        const places = pair.map(p => (worn ? p.material : p.skin)).map(m => (m ? m[3] : -1));
        if (places.some(place => place < 0) || how === "one-piece") { return made; }
        made.cell = true;
        made.all = data.situations.map((s, k) => attack(data, ...places, k, small, !join || join[3]));
        const here = made.all[at];
        made.degree = here.degree;
        made.usual = usualOf(data, pair, at);
        if (here.side >= 0) {
          made.goes = pair[here.side];
          made.other = pair[1 - here.side];
          made.smaller = small < 0 ? null : small === here.side;
          const sign = data.joint < 0 ? null : verdictOf(data, worn ? made.goes.state : made.goes.skinState, data.joint);
          made.look = sign ? sign.look : "";
          made.fast = sign ? sign.fast : "";
        }
        const outside = pair.some(p => p.outside);
        /* At once only what goes in salt on a piece that was said to be so: elsewhere it goes when damp gets in. */
        const most = made.usual ? LOOK : worn ? (outside ? SLOW : LOOK) : at > 0 || pair.every(p => p.assumed) ? SLOW : NOW;
        made.level = Math.min(most, grave(made.degree));
        return made;
      };
      /* Worn coatings let the bases meet; said where that is worse. */
      const whole = judged(false), worn = pair.some(p => p.coating) ? judged(true) : null;
      return worn && (worn.degree > whole.degree || (worn.goes && worn.goes !== whole.goes)) ? [whole, worn] : [whole];
    }).sort((x, y) => y.level - x.level || y.degree - x.degree || x.where - y.where);
  }

  /** Where the base corrodes under the pores of its coating: in sweat outside, else where its joints are wettest. */
  function poresOf(data, watch, parts) {
    const groups = new Map();
    parts.filter(p => p.coating && p.material && p.coating[3] >= 0 && p.material[3] >= 0).forEach(part => {
      const wet = watch.joins.filter(j => j[0] === part.i || j[1] === part.i).map(j => lookups(data).situation.get(j[3]));
      const at = part.outside ? 0 : Math.min(...wet, data.situations.length - 1), row = data.contact.pores[part.coating[3]];
      const degree = row ? +row[part.material[3]].charAt(at) : 0;
      if (!degree) { return; }
      const key = [part.coating[0], part.material[0], at, part.outside].join(), sign = verdictOf(data, part.state, data.joint);
      if (!groups.has(key)) { groups.set(key, { parts: [], degree, at, coating: part.coating, base: part.material, look: sign.look, level: part.outside ? Math.min(part.assumed ? SLOW : NOW, grave(degree)) : LOOK }); }
      groups.get(key).parts.push(part);
    });
    return [...groups.values()];
  }

  /** Threads and slides of one metal on its own kind. */
  function gallsOf(data, watch, parts) {
    const look = lookups(data), found = new Map();
    watch.joins.forEach(([a, b, how]) => {
      const join = look.join.get(how), pair = [parts[a], parts[b]];
      if (how === "one-piece" || !(how === "screwed" || (join && join[2])) || pair.some(p => !p.skin)) { return; }
      pair[0].skin[8].filter(g => pair[1].skin[8].includes(g)).forEach(g => {
        if (!found.has(g)) { found.set(g, { pairs: [], say: data.galling[g][1], level: data.galling[g][0] ? LOOK : SLOW }); }
        found.get(g).pairs.push(pair);
      });
    });
    return [...found.values()];
  }

  /* ---- Places, life, baths, cautions ---- */

  /** Parts whose metal is wrong for their place, with the reason. */
  function placesOf(data, parts) {
    return parts.filter(p => p.material).map(part => {
      const found = standing(data, part.role, part.place), coated = part.coating && part.row[4].some(([m, c]) => data.materials[m] === part.material && data.materials[c] === part.coating);
      if (!found || coated || found.rung < PINCH || (part.coating && found.hazard)) { return null; }
      const level = found.rung === NO ? NOW : found.rung === CANNOT ? LOOK : SLOW;
      return { part, rung: found.rung, why: found.why, level: part.assumed && level < NOW ? LOOK : level };
    }).filter(Boolean);
  }

  /** What this owner's life does, by hazard and metal; else what the parts meet often and always. */
  function lifeOf(data, sheet, parts) {
    const look = lookups(data), lived = new Map(), baths = data.baths.map(b => b[1]), groups = new Map(), seals = look.zone.get("seals");
    sheet.owner.filter(id => look.activity.has(id)).forEach(id => look.activity.get(id)[2].forEach(h => lived.set(h, look.activity.get(id)[1])));
    parts.filter(p => p.skin).forEach(part => part.row[3].forEach(([hazard, severity, lot]) => {
      if (hazard === data.joint || (!lived.has(hazard) && (severity < 1 || baths.includes(hazard)))) { return; }
      const found = verdictOf(data, part.skinState, hazard);
      if (found.verdict < CARE || found.verdict > FAILS) { return; }
      /* A seal is new at every service; usual metals bear the usual life. */
      const quiet = lot || part.zone === seals || (part.assumed && !lived.has(hazard));
      const harm = found.verdict === FAILS ? NOW : found.verdict === SUFFERS && !found.putRight ? SLOW : LOOK;
      const key = [hazard, part.skin[0], found.verdict, found.how, quiet].join();
      if (!groups.has(key)) {
        groups.set(key, { hazard, hazardId: data.hazards[hazard][0], name: data.hazards[hazard][1], by: lived.get(hazard) || "", material: part.skin, ...found, lot: Boolean(lot), level: quiet ? LOOK : Math.min(part.assumed && !lived.has(hazard) ? SLOW : NOW, harm), parts: [] });
      }
      groups.get(key).parts.push(part);
    }));
    return [...groups.values()].sort((x, y) => y.level - x.level || y.verdict - x.verdict);
  }

  function cautionsOf(data, watch, parts) {
    const by = new Map();
    const add = (caution, part) => { if (!by.has(caution)) { by.set(caution, []); } if (part && !by.get(caution).includes(part)) { by.get(caution).push(part); } };
    watch.cautions.forEach(c => add(c, null));
    parts.forEach(part => { [part.row[6], part.material && part.material[7], part.coating && part.coating[7]].forEach(list => (list || []).forEach(c => add(c, part))); });
    return [...by].sort((x, y) => x[0] - y[0]).map(([c, of]) => ({ id: data.cautions[c][0], name: data.cautions[c][1], parts: of, 
      /* First those of the whole watch or dial, then of its metals, then of some kinds of work. */
      far: watch.cautions.includes(c) || of.some(p => p.roleId === "luminous-dot" && p.row[6].includes(c)) ? 0 : of.some(p => (p.material && p.material[7].includes(c)) || (p.coating && p.coating[7].includes(c))) ? 1 : 2 }));
  }

  /* ---- What was measured, and what is still open ---- */

  const number = text => { const plain = String(text === undefined ? "" : text).trim().replace(",", ".").replace("\u2212", "-"); return /^-?\d{1,7}(\.\d{1,8})?$/.test(plain) ? +plain : null; };

  /** The newest readable value of a property on a part: {value, doubt, at}, or null. */
  function reading(sheet, key, property) {
    const found = sheet.measured.filter(m => m.part === key && m.property === property && number(m.value) !== null).pop();
    return found ? { value: number(found.value), doubt: Math.abs(number(found.doubt) || 0), at: number(found.at) } : null;
  }

  function hardnessFits(state, hardness) {
    const [low, high] = state[4];
    return !hardness || low === undefined || ((low === null || hardness.value + hardness.doubt >= +low * 0.95) && (high === null || hardness.value - hardness.doubt <= +high * 1.05));
  }

  /** What the measurements say of one part: observations for the elimination, and words for what was seen. */
  function observedOf(idata, sheet, part) {
    const air = reading(sheet, part.key, "weight-in-air"), water = reading(sheet, part.key, "weight-in-water"), observed = {};
    const magnet = sheet.measured.filter(m => m.part === part.key && m.property === "magnet").pop();
    const skin = part.coating && part.coating[10][0][2] > 0;        // a nickel skin is attracted by itself
    if (magnet && !skin && ["none", "trace", "strong"].includes(magnet.value)) { observed.magnet = magnet.value; }
    if (idata && idata.weigh && air && water && water.value < air.value) {
      const q = benchIdentify.weighed(idata, air.value, water.value, water.at === null ? 20 : water.at, Math.max(air.doubt, water.doubt) || 0.01);
      if (q) { observed.density = [q.low, q.high]; }
    }
    return observed;
  }

  /** What no elimination knows, such as a clear crystal, is held to its own density and magnetism. */
  function plainFits(row, observed) {
    const [low, high] = row[4], density = observed.density;
    return row[2] === METAL || !((density && low !== undefined && low !== null && high !== null && (density[1] < low * 0.97 || density[0] > high * 1.03)) || (observed.magnet === "strong" && row[10].every(s => s[2] === 0)));
  }

  /** The metals that the trade would use for a part and that fit what was measured, and the gentlest next test. */
  function narrowed(data, idata, sheet, part) {
    const observed = observedOf(idata, sheet, part), hardness = reading(sheet, part.key, "hardness"), made = Object.keys(observed).length > 0 || Boolean(hardness);
    let place = 0;
    const offered = data.materials.map((row, i) => {
      const kept = row[10].filter((state, k) => {
        const found = standing(data, part.role, place + k);
        return found && found.rung <= PINCH && hardnessFits(state, part.coating ? null : hardness);
      }), all = row[10].some((state, k) => { const found = standing(data, part.role, place + k); return found && found.rung <= PINCH; });
      const weak = kept.length ? (standing(data, part.role, place + row[10].indexOf(kept[0])).why.match(/[◇◔] rests.*$/) || [""])[0] : "";
      place += row[10].length;
      return { row, kept, all, weak, usual: part.row[5].includes(i) };
    }).filter(o => o.all);
    let left = offered.filter(o => o.kept.length && plainFits(o.row, observed)), next = null;
    if (idata) {
      const metals = { ...idata, materials: idata.materials.filter(m => left.some(o => o.row[0] === m.id)) };
      benchIdentify.take(metals);
      const result = benchIdentify.eliminate(metals.materials, observed), ids = result.left.map(e => e.id);
      left = left.filter(o => ids.includes(o.row[0]) || !metals.materials.some(m => m.id === o.row[0]));
      if (result.left.length > 1) { next = benchIdentify.nextTests(metals, result.left, observed).first; }
    }
    left.sort((x, y) => y.usual - x.usual);
    return { part, left: left.map(o => o.row), weak: new Map(left.map(o => [o.row, o.weak])), out: offered.length - left.length, next, made, observed };
  }

  /** Whether the metal set for a part fits what was measured; null if nothing was. */
  function fits(data, idata, sheet, part) {
    const observed = observedOf(idata, sheet, part), hardness = reading(sheet, part.key, "hardness");
    if (!part.material || (!Object.keys(observed).length && !hardness)) { return null; }
    /* An unset state is any that will do. */
    const start = part.place - part.material[10].indexOf(part.state), states = part.stateSet && !part.assumed ? [part.state] : part.material[10].filter((s, k) => {
      const found = standing(data, part.role, start + k);
      return s === part.state || (found && found.rung <= PINCH);
    });
    const hard = part.coating || states.some(s => hardnessFits(s, hardness));
    let by = hard ? [] : ["hardness"];
    const known = idata && idata.materials.find(m => m.id === part.material[0]);
    if (known) { benchIdentify.take(idata); by = by.concat(benchIdentify.eliminate([known], observed).out.flatMap(o => o.by)); }
    return { part, by };
  }

  /* ---- Figures ---- */

  const exact = text => ({ low: String(text), high: String(text), digits: EXACT });
  const span = ends => (ends.length ? { low: ends[0], high: ends[1], digits: ends[2] || EXACT } : null);
  const known = q => Boolean(q) && q.low !== null && q.high !== null;

  function run(program, inputs) {
    return program && Object.values(inputs).every(known) ? benchCalc.evaluate(program, inputs) : null;
  }

  /** Rate change with temperature, calculated and measured, in s/d per kelvin. */
  function rates(data, sheet, parts) {
    const spring = parts.find(p => p.roleId === "balance-spring"), balance = parts.find(p => p.roleId === "balance-wheel");
    const read = sheet.measured.filter(m => m.property === "rate" && number(m.value) !== null && number(m.at) !== null)
      .map(m => ({ value: number(m.value), doubt: Math.abs(number(m.doubt) || 0), at: number(m.at) })).sort((a, b) => a.at - b.at);
    const [cold, warm] = [read[0], read[read.length - 1]], ends = r => ({ low: String(r.value - r.doubt), high: String(r.value + r.doubt), digits: EXACT });
    const measured = cold && warm.at > cold.at ? benchCalc.evaluate(["w", "c", "-", "a", "b", "-", "/"], { w: ends(warm), c: ends(cold), a: exact(warm.at), b: exact(cold.at) }) : null;
    const cut = Boolean(balance && balance.material && /bimetal/.test(balance.material[0]));
    const inputs = spring && balance && spring.material && balance.material && { TCE: span(spring.state[5] || []), alpha_s: span(spring.material[6]), alpha_b: span(balance.material[6]) };
    const worked = inputs && !cut ? run(data.programs.rate, inputs) : null;
    const apart = worked && measured && (measured.low > worked.high || measured.high < worked.low);
    const missing = inputs && !cut ? Object.keys(inputs).filter(k => !known(inputs[k])) : [];
    return { spring, balance, cut, worked, measured, apart: Boolean(apart), missing };
  }

  /* ---- All together ---- */

  const names = parts => parts.map((p, i) => (i ? lower(p.name) : p.name)).join(", ");

  /** The graver findings, worst first: {level, kind, title, text, look, parts, assumed}. */
  function findingsOf(data, a) {
    const list = [], add = (level, kind, title, text, look, parts) => {
      if (level >= SLOW) { list.push({ level, kind, title, text, look: look || "", parts, assumed: parts.every(p => p.assumed) }); }
    };
    a.misfits.forEach(m => add(NOW, "measured", m.part.name, "Set as " + m.part.material[1] + "; that does not fit what was measured: " + m.by.join(", ") + ".", "", [m.part]));
    a.places.forEach(p => add(p.level, "place", called(p.part), data.rungs[p.rung][1] + ": " + p.why + (p.part.stateSet ? "" : " (its best state)") + ".", "", [p.part]));
    a.contacts.filter(c => c.goes).forEach(c => add(c.level, "contact", called(c.goes), (c.worn ? "where the coating is worn through it corrodes " : "corrodes ") + (c.degree > 1 ? "fast" : "slowly") + " beside the " + lower(called(c.other)) + ", " + c.how + ", " + (c.where ? "if damp gets in" : data.situations[c.where][1]) +
      (c.smaller ? ". It is the smaller piece, so it corrodes sooner" : "") + ".", [c.note.replace(/\.$/, ""), c.look, c.fast].filter(Boolean).join("; "), [c.goes, c.other]));
    a.pores.forEach(p => add(p.level, "pore", p.coating[1] + " on " + p.base[1], "At pores and worn edges the " + p.base[1] + " corrodes " + (p.degree > 1 ? "fast" : "slowly") + " " + data.situations[p.at][1] + ": " + lower(names(p.parts)) + ".", p.look, p.parts));
    a.galls.forEach(g => add(g.level, "gall", g.pairs.map(pair => names(pair)).slice(0, 3).join("; "), g.say, "torn, shiny threads", g.pairs.flat()));
    a.life.forEach(l => add(l.level, "life", names(l.parts) + " (" + l.material[1] + ")", (l.by || l.name) + ": " + data.verdicts[l.verdict][1] + (l.how ? ", " + l.how : "") + ".", l.look, l.parts));
    if (a.rates.apart) { add(SLOW, "rate", "Rate and temperature", "The measured rate is not what these metals give: balance or spring is of another metal, or something compensates.", "", [a.rates.spring, a.rates.balance]); }
    /* Of two joints of one pair the worse is said. */
    const first = new Set(), key = f => f.kind + f.parts.map(p => p.i).join();
    return list.sort((x, y) => y.level - x.level || x.assumed - y.assumed).filter(f => f.kind !== "contact" || (!first.has(key(f)) && first.add(key(f))));
  }

  /** The answers for a sheet; baths, weights, field and work are added by watch-more.js. */
  function answers(data, sheet, idata) {
    const watch = data.watch, parts = partsOf(data, sheet), a = { watch, parts };
    a.contacts = contactsOf(data, watch, parts);
    a.pores = poresOf(data, watch, parts);
    a.galls = gallsOf(data, watch, parts);
    a.places = placesOf(data, parts);
    a.life = lifeOf(data, sheet, parts);
    a.cautions = cautionsOf(data, watch, parts);
    a.misfits = parts.map(p => fits(data, idata, sheet, p)).filter(f => f && f.by.length);
    a.open = parts.filter(p => p.open);
    a.rates = rates(data, sheet, parts);
    a.findings = findingsOf(data, a);
    return a;
  }

  globalThis.benchWatch = { ready, answers, narrowed, called, names, number, lookups, verdictOf, reading, exact, span, run };
})();
