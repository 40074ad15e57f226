/* The watch sheet on paper: a job sheet on A4 and the owner's page on A5, put together when they are printed. */
(function () {
  "use strict";
  const { make, upper, list } = window.benchElements;

  function cells(tag, texts) { const row = make("tr"); texts.forEach(text => row.append(make(tag, text))); return row; }

  function measured(sheet, part) {
    return sheet.measured.filter(m => m.part === part.key && m.value).map(m => m.property.replace(/-/g, " ") + " " + m.value + (m.doubt ? " \u00b1 " + m.doubt : "") + " " + m.unit.replace("um", "\u00b5m") + (m.at ? " at " + m.at + " \u00b0C" : "")).join("; ");
  }

  function job(state) {
    const { sheet, answers: a, data } = state, made = make("section", "", "jobsheet"), table = make("table", "", "plain"), body = make("tbody"), head = make("thead");
    made.append(make("h1", "Job sheet: " + data.watch.name), make("p", [sheet.job, sheet.day].filter(Boolean).join(", ")));
    made.append(make("h2", "Look at first"), a.findings.length ? list(a.findings.map(f => ["", "", "In time", "Now"][f.level] + ": " + f.title + ": " + f.text + (f.look ? " Look for: " + f.look + "." : "") + (f.assumed ? " (assumed)" : ""))) : make("p", "Nothing in these metals needs it."));
    made.append(make("h2", "Cautions"), make("p", a.cautions.map(c => c.name).join(", ") + ". Read them before the work; local codes and licensed practice come first."));
    made.append(make("h2", "Work"), list(a.work.first));
    [["replace", "Replace"], ["test", "Look at or test"]].forEach(([key, title]) => { if (a.work[key].length) { made.append(make("h3", title), list(a.work[key].map(r => upper(r[1].name) + ": " + r[2]))); } });
    made.append(make("h3", "Baths"), list(a.baths.map(b => upper(b.name) + ": " + [["keep out", b.out], ["harmed in time", b.harmed]].filter(x => x[1].length)
      .map(([word, rows]) => word + " " + benchWatch.names(rows.map(o => o.part))).concat(b.out.length + b.harmed.length ? [] : ["nothing must stay out"]).join("; ") + ".")));
    if (a.weights.now) { made.append(make("p", "Case " + benchCalc.shown(a.weights.now) + " g" + a.weights.fine.map(f => "; fine metal " + f[0] + " " + benchCalc.shown(f[1]) + " g").join("") + (a.weights.invented ? " (weights not typed are invented)" : "") + ".")); }
    head.append(cells("th", ["part", "metal", "state", "coating", "measured", ""]));
    a.parts.forEach(p => body.append(cells("td", [p.name, p.open ? "not known" : p.material[1], p.open ? "" : p.state[1], p.coating ? p.coating[1] : "", measured(sheet, p), p.assumed ? "assumed" : ""])));
    table.append(head, body);
    made.append(make("h2", "Parts and metals"), table);
    if (sheet.note) { made.append(make("h2", "Note"), make("p", sheet.note)); }
    made.append(make("p", "Edition of the knowledge base: " + data.edition + ". Kind of watch invented; it stands for many.", "foot"));
    return made;
  }

  const FIELDS = { case: ["case", ["case-middle"]], bracelet: ["bracelet or strap", ["bracelet-link", "strap"]], crystal: ["crystal", ["crystal"]] };

  /** The owner's page in a language: sentences and machinery are those of the leaflet. */
  function owner(state, tag) {
    const { sheet, answers: a, data } = state, told = window.benchLeaflet, made = document.querySelector("template[data-owner]").content.firstElementChild.cloneNode(true);
    const find = roles => a.parts.find(p => roles.includes(p.roleId) && p.material), cased = find(FIELDS.case[1]), materials = [];
    Object.entries(FIELDS).forEach(([field, [label, roles]]) => { const part = find(roles); if (part && told.materials[part.material[0]]) { materials.push([field, label, part.material[0]]); } });
    const coat = cased && cased.coating && told.materials[cased.coating[0]] ? cased.coating[0] : "";
    if (coat) { materials.push(["plating", "plating or coating", coat]); }
    const does = sheet.owner.map(id => data.activities.findIndex(x => x[0] === id)).filter(i => i >= 0);
    const water = Math.max(0, ["none", "resistant", "divers"].indexOf(sheet.water));
    made.fits = benchOwner.fill(made, told, { materials, plated: Boolean(coat), water, does }, tag, (window.benchLeafletIn || {})[tag]);
    return made;
  }

  /** Puts the paper together, prints it and takes it away again; gives back whether it fits its sheet. */
  function print(state, kind, tag) {
    document.querySelectorAll(".watch-paper").forEach(old => old.remove());
    const paper = make("div", "", "watch-paper watch-paper--" + kind), inner = document.querySelector(".md-content__inner");
    const printed = kind === "job" ? job(state) : owner(state, tag);
    paper.append(printed);
    inner.append(paper);
    document.body.classList.add("has-watch-paper");
    const done = () => { document.body.classList.remove("has-watch-paper"); };
    window.addEventListener("afterprint", done, { once: true });
    window.print();
    return printed.fits !== false;
  }

  globalThis.benchPaper = { print };
})();
