/* The page of a whole job. Takes the job's fields and steps from the page; gives the result of each step, carried
   on unrounded, and a link that brings the job back. The Python twin is generator/numbers/jobs.py. */
(function () {
  "use strict";
  const EXACT = 99;

  /** A result in the unit that the next formula wants. */
  function converted(q, unit, target) {
    const ends = q.ends.map((end) => (end === null ? null : benchForms.convert(end, unit, target)));
    return { ends, low: ends[0], high: ends[1], digits: q.digits };
  }

  function outside(q, wanted) {
    return q.ends.some((end) => end !== null && (end.lt(wanted.range[0]) || end.gt(wanted.range[1])));
  }

  /** Every step in order: [{id, result}] or, as the last, [{id, fault}]. `typed` holds what the fields say. */
  function run(job, typed) {
    const done = [], results = {}, units = {};
    for (const step of job.steps) {
      const inputs = {};
      let fault = "";
      step.take.forEach((wanted) => {
        if (wanted.from === "number") { inputs[wanted.name] = { low: wanted.source, high: wanted.source, digits: EXACT }; return; }
        if (wanted.from === "field") { inputs[wanted.name] = typed[wanted.source]; return; }
        const q = converted(results[wanted.source], units[wanted.source], wanted.id);
        if (!fault && outside(q, wanted)) {
          fault = wanted.meaning + " comes out outside " + wanted.shown + (wanted.unit ? "\u00a0" + wanted.unit : "") + "; check what was typed above";
        }
        inputs[wanted.name] = q;
      });
      const result = fault ? { fault } : benchCalc.resultOf(step.rule, inputs);
      done.push(result.fault ? { id: step.id, inputs, fault: result.fault } : { id: step.id, inputs, result });
      if (result.fault) { break; }
      results[step.id] = result;
      units[step.id] = step.unitId;
    }
    return done;
  }

  globalThis.benchJob = { run };
  if (typeof document === "undefined") { return; }
  const form = document.querySelector("form.calc[data-job]");
  if (!form) { return; }
  const job = JSON.parse(form.dataset.job), field = (name) => form.elements.namedItem(name);
  const withUnit = (text, label) => text + (label ? "\u00a0" + label : "");
  const plain = (q) => ({ ends: [q.low, q.high].map((end) => (end === null ? null : end)), digits: EXACT, showing: { side: "", thresholds: [] } });

  const choosers = [...form.querySelectorAll(".calc__piece")].map((box) =>
    benchChooser(box, job.fields.filter((f) => f.of === box.dataset.piece).map((f) => [field(f.name), f.fills]), update));

  function put(attribute, id, text) {
    document.querySelectorAll("[data-" + attribute + "='" + id + "']").forEach((place) => { place.textContent = text; });
  }

  /** The numbers that went into a step: what was typed, or what an earlier step came to. */
  function withWords(step, done) {
    const words = step.take.map((wanted) => {
      if (wanted.from === "field") { return wanted.meaning + " " + withUnit(field(wanted.source).value.trim(), unitTyped(wanted)); }
      if (wanted.from === "number") { return wanted.meaning + " " + withUnit(wanted.source, wanted.unit); }
      const q = done.inputs[wanted.name];
      return wanted.meaning + " " + withUnit(benchCalc.shown({ ...q, showing: { side: "", thresholds: [] } }), wanted.unit);
    });
    return words.join("; ");
  }

  function unitTyped(wanted) {
    const as = document.getElementById("as-" + wanted.source).textContent;
    return as ? as : job.fields.find((f) => f.name === wanted.source).unit;
  }

  function address() {
    const held = ["job", "date"].concat(job.fields.map((f) => f.name)).map((name) => [name, field(name).value]).filter((pair) => pair[1]);
    choosers.filter((c) => c.value()).forEach((c) => held.push(["of " + c.piece, c.value()]));
    return location.pathname.split("/").pop() + "?" + held.map((pair) => pair.map(encodeURIComponent).join("=")).join("&");
  }

  function update() {
    const typed = {}, faults = [], said = form.querySelector(".calc__said");
    choosers.forEach((c) => c.check());
    job.fields.forEach((f) => {
      const input = field(f.name), q = benchForms.read(input.value, f);
      input.setAttribute("aria-invalid", String(Boolean(q.fault) && input.value !== ""));
      document.getElementById("as-" + f.name).textContent = !q.fault && q.converted ? "= " + withUnit(benchCalc.shown(plain(q)), f.unit) : "";
      if (q.fault) { faults.push(f.meaning + ": " + q.fault + "."); } else { typed[f.name] = q; }
    });
    form.querySelector(".calc__link").href = address();
    form.querySelector(".calc__metals").textContent = choosers.filter((c) => c.name()).map((c) => c.piece + ": " + c.name()).join("; ");
    job.steps.forEach((step) => ["answer", "step", "with"].forEach((attribute) => put(attribute, step.id, "")));
    said.textContent = faults[0] || "";
    if (faults.length) { return; }
    const meanings = [];
    run(job, typed).forEach((done, i) => {
      const step = job.steps[i];
      put("with", step.id, withWords(step, done));
      if (done.fault) { said.textContent = step.meaning + ": " + done.fault; return; }
      const safe = step.rule.rounded && benchCalc.isCut(done.result) ? " (rounded " + step.rule.rounded + ", to be safe)" : "";
      const text = withUnit(benchCalc.shown(done.result), step.unit) + safe;
      put("step", step.id, text);
      put("answer", step.id, text);
      const meaning = benchCalc.meaning(step.rule, done.result);
      const told = meanings.some((said) => said.endsWith(": " + meaning));
      if (meaning && !told) { meanings.push(step.meaning[0].toUpperCase() + step.meaning.slice(1) + ": " + meaning); }
    });
    if (!said.textContent) { said.textContent = meanings.join(". "); }
  }

  const given = new URLSearchParams(location.search);
  choosers.forEach((c) => c.choose(given.get("of " + c.piece) || ""));
  ["job", "date"].concat(job.fields.map((f) => f.name)).forEach((name) => { if (given.has(name)) { field(name).value = given.get(name); } });
  form.addEventListener("input", update);
  form.addEventListener("submit", (event) => event.preventDefault());
  form.hidden = false;
  update();
})();
