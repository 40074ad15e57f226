/* The calculator of a formula page. Takes the formula's program and symbols from the page, materials from
   assets/values.js, units from assets/units.js; gives the result as you type, what it means, the metals it was
   worked out for, and a link that brings all of it back. */
(function () {
  "use strict";
  const form = document.querySelector("form.calc[data-rule]");
  if (!form) { return; }
  const rule = JSON.parse(form.dataset.rule), symbols = JSON.parse(form.dataset.symbols), unit = form.dataset.unit;
  const part = (name) => form.querySelector(".calc__" + name);
  const result = part("result"), said = part("said"), work = part("working"), link = part("link");
  const field = (symbol) => form.elements.namedItem(symbol.name), withUnit = (text, label) => text + (label ? "\u00a0" + label : "");

  const choosers = [...form.querySelectorAll(".calc__piece")].map((box) => {
    const filled = symbols.filter((s) => s.of === box.dataset.piece).map((s) => [field(s), s.fills]);
    return benchChooser(box, filled, update);
  });

  /** What a field typed in another unit comes to in its own, as text. */
  function converted(symbol, q) {
    if (!q.converted) { return ""; }
    const text = benchCalc.shown({ ends: [q.low, q.high], digits: 99, showing: { side: "", thresholds: [] } });
    return withUnit("= " + text, symbol.unit);
  }

  /** A field as it goes into the working: the metal it is of, what was typed, and what that comes to. */
  function spoken(symbol) {
    const of = choosers.find((c) => c.filled(field(symbol))), typed = field(symbol).value.trim(), as = field(symbol).closest(".calc__field").querySelector(".calc__as").textContent;
    return symbol.meaning + (of ? " (" + of.name() + ")" : "") + " " + (as ? typed + " " + as : withUnit(typed, symbol.unit));
  }

  function address() {
    const held = symbols.map((s) => [s.name, field(s).value]);
    choosers.filter((c) => c.value()).forEach((c) => held.push(["of " + c.piece, c.value()]));
    return location.pathname.split("/").pop() + "?" + held.map((pair) => pair.map(encodeURIComponent).join("=")).join("&");
  }

  function say(answer, sentence, working) {
    result.textContent = answer;
    said.textContent = sentence;
    work.textContent = working;
  }

  function update() {
    const inputs = {}, faults = [];
    choosers.forEach((c) => c.check());
    symbols.forEach((symbol) => {
      const input = field(symbol), q = benchForms.read(input.value, symbol);
      input.setAttribute("aria-invalid", String(Boolean(q.fault) && input.value !== ""));
      input.closest(".calc__field").querySelector(".calc__as").textContent = q.fault ? "" : converted(symbol, q);
      if (q.fault) { faults.push(symbol.meaning + ": " + q.fault + "."); } else { inputs[symbol.name] = q; }
    });
    link.href = address();
    if (faults.length) { say("", faults[0], ""); return; }
    const value = benchCalc.resultOf(rule, inputs);
    if (value.fault) { say("", value.fault, ""); return; }
    const safe = rule.rounded && benchCalc.isCut(value) ? " (rounded " + rule.rounded + ", to be safe)" : "";
    say(withUnit(benchCalc.shown(value), unit) + safe, benchCalc.meaning(rule, value), symbols.map(spoken).join("; "));
  }

  const given = new URLSearchParams(location.search);
  choosers.forEach((c) => c.choose(given.get("of " + c.piece) || ""));
  symbols.forEach((s) => { if (given.has(s.name)) { field(s).value = given.get(s.name); } });
  form.addEventListener("input", update);
  form.addEventListener("submit", (event) => event.preventDefault());
  form.hidden = false;
  update();
})();
