/* The watch sheet: what stands in its folds, from the answers of watch.js; loaded when the first fold is opened. */
(function () {
  "use strict";
  const { make, upper, list } = window.benchElements;
  const partLink = part => { const a = make("a", part.name); a.href = "parts/" + part.roleId + ".html"; return a; };
  const links = parts => parts.flatMap((p, i) => (i ? [", ", partLink(p)] : [partLink(p)]));
  const quantity = (q, unit) => benchCalc.shown(q) + "\u00a0" + unit;

  const FOLDS = {
    contacts: (a, data, sheet, idata) => {
      const cells = a.contacts.filter(c => c.degree), wet = a.contacts.filter(c => c.cell && !c.degree && c.all.some(x => x.degree)), open = a.contacts.filter(c => c.open && !c.cell).length;
      const words = c => data.situations.map((s, k) => [s[1], c.all[k]]).filter((w, k) => k >= c.where).map(([name, x]) => name + " " + ["no attack", "slow", "fast"][x.degree] + (x.side >= 0 && x.degree ? " (" + c.pair[x.side].name + ")" : "")).join(", ");
      return [list(cells.map(c => [partLink(c.pair[0]), " and ", partLink(c.pair[1]), ", " + c.how + ": " + (c.worn ? "where the coating is worn through " : "") + words(c) + ". " + [c.usual && "Usual. " + c.usual, c.note].filter(Boolean).join(" ")]), "remain"),
        make("p", wet.length + " contacts do nothing where they are, and would if water came in; " + (a.contacts.length - cells.length - wet.length - open) + " do nothing at all: like metals, or no metal on one side; " + open + " wait for a metal that is not known."),
        list(wet.map(c => c.pair.map(p => p.name).join(" and ") + (c.usual ? " (usual)" : "")), "joined")];
    },
    life: (a, data, sheet, idata) => [list(a.life.map(l => [make("strong", upper(l.by || l.name) + ": "), ...links(l.parts), " (" + l.material[1] + ") " + data.verdicts[l.verdict][1] + (l.how ? ", " + l.how : "") + (l.look ? "; " + l.look : "") + (l.lot ? ". It is the lot of this part." : ".")]), "remain")],
    work: (a, data, sheet, idata) => [list(a.work.first, "remain")].concat([["replace", "Replace"], ["test", "Look at or test"], ["leave", "Leave alone"]].filter(k => a.work[k[0]].length).flatMap(([key, title]) => [make("h3", title),
      key === "leave" ? make("p", benchWatch.names(a.work.leave.map(r => r[1])) + ".") : list(a.work[key].map(r => [partLink(r[1]), ": " + r[2]]), "remain")])),
    cautions: (a, data, sheet, idata) => [list(a.cautions.map(c => { const link = make("a", upper(c.name)); link.href = "cautions.html#" + c.id; return [link, c.parts.length ? ": " + benchWatch.names(c.parts.slice(0, 8)) + (c.parts.length > 8 ? " and " + (c.parts.length - 8) + " more" : "") : ""]; }), "remain")],
    weight: (a, data, sheet, idata) => {
      const w = a.weights, made = [];
      made.push(make("p", w.now ? "Case (" + benchWatch.names(w.parts) + "): " + quantity(w.now, "g") + "." + (w.then ? " In " + w.other[1] + ": " + quantity(w.then, "g") + "." : "") : "No weight is known. Weigh a part and type it in at the part."));
      if (w.now && w.invented) { made.push(make("p", "Weights that you did not type are those of an invented watch: weigh your own.", "note")); }
      if (w.cautions.length) { made.push(make("p", "Before you work " + w.other[1] + ", read: " + w.cautions.map(c => c.name).join(", ") + ".", "warn")); }
      const names = { Au: "gold", Ag: "silver", Pt: "platinum", Pd: "palladium" };
      w.fine.forEach(([symbol, q]) => made.push(make("p", "Fine " + names[symbol] + " in it: " + quantity(q, "g") + ".")));
      return made;
    },
    rate: (a, data, sheet, idata) => {
      const r = a.rates, f = a.field, made = [];
      if (!r.spring || !r.balance) { made.push(make("p", "This kind has no balance.")); }
      else if (r.cut) { made.push(make("p", "A cut balance of two metals compensates for its spring; the formula for one metal does not apply. Measure the rate at two temperatures.")); }
      else if (r.worked) { made.push(make("p", "Worked out from " + r.spring.material[1] + " and " + r.balance.material[1] + ": " + quantity(r.worked, "s/d per kelvin") + ".")); }
      else { made.push(make("p", "Not worked out: " + (r.missing.length ? "no published figure for " + r.missing.map(k => ({ TCE: "the spring's change of stiffness with temperature", alpha_s: "the spring's expansion", alpha_b: "the balance's expansion" })[k]).join(" and ") : "spring or balance is not known") + ".")); }
      if (r.measured) { made.push(make("p", "Measured: " + quantity(r.measured, "s/d per kelvin") + "." + (r.apart ? " The two do not agree." : ""))); }
      if (f.there) {
        made.push(make("p", f.attracted.length ? "No field is promised: attracted near the balance are " + benchWatch.names(f.attracted.map(x => x.part)) + "." : f.open.length ? "Open until the metals near the balance are known." : "Nothing near the balance is attracted. " + (f.bears ? "Only the test shows whether it withstands the " + f.bears + "\u00a0A/m of a magnetic-resistant watch (ISO 764)." : "")));
      }
      return made;
    },
    baths: (a, data, sheet, idata) => a.baths.flatMap(b => [make("h3", upper(b.name)), list([
      b.out.length ? [make("strong", "Keep out: "), ...b.out.flatMap((o, i) => [i ? ", " : "", partLink(o.part), o.how ? " (" + o.how + ")" : ""])] : ["Nothing here need be kept out."],
      ...(b.harmed.length ? [[make("strong", "Harmed in time, so keep it short and dry at once, or leave out: "), b.harmed.map(o => o.part.name + (o.how ? " (" + o.how + ")" : "")).join(", ")]] : []),
      ...(b.care.length ? [[make("strong", "With care: "), benchWatch.names(b.care)]] : []), ...(b.may.length ? [[make("strong", "May go in: "), benchWatch.names(b.may)]] : []),
      ...(b.open.length ? [[make("strong", "Not known: "), benchWatch.names(b.open)]] : [])], "remain"), ...(b.said ? [make("p", b.say, "note")] : [])]),
    open: (a, data, sheet, idata) => (a.open.length ? [list(a.open.map(p => { const n = benchWatch.narrowed(data, idata, sheet, p), test = idata.tests.find(t => t[0] === n.next); return [partLink(p), ": " + n.left.length + " metals are used here" + (test ? "; gentlest test that settles most: " + test[1] : "") + ". Tap its tile to settle it."]; }), "remain")] : [make("p", "Nothing is left open. What is assumed is marked on its tile.")]),
    map: (a, data, sheet, idata) => { drawMap(a); return null; }
  };

  function drawMap(a) {
    document.querySelectorAll(".map__drawing a[href*='parts/']").forEach(link => {
      const part = a.parts.find(p => link.getAttribute("href").endsWith("/" + p.roleId + ".html") || link.getAttribute("href") === "parts/" + p.roleId + ".html");
      const box = link.querySelector("rect"), old = link.querySelector(".w-metal");
      if (old) { old.remove(); }
      link.classList.toggle("w-absent", !part);
      if (!part || !box) { return; }
      const text = document.createElementNS("http://www.w3.org/2000/svg", "text"), name = part.open ? "not known" : part.coating ? part.coating[1] : part.material[1];
      text.setAttribute("class", "w-metal");
      text.setAttribute("x", +box.getAttribute("x") + box.getAttribute("width") / 2);
      text.setAttribute("y", +box.getAttribute("y") + +box.getAttribute("height") - 3);
      text.textContent = name.length > 24 ? name.slice(0, 23) + "\u2026" : name;
      link.append(text);
      link.querySelectorAll(".w-body, .w-cut, .w-solid").forEach(shape => { shape.style.fill = part.skin && part.skin[9] ? part.skin[9] : ""; });
    });
  }

  /** The pieces that go into one fold, or null where it fills itself. */
  function fill(name, state, idata) { return FOLDS[name](state.answers, state.data, state.sheet, idata); }

  globalThis.benchFolds = { fill };
})();
