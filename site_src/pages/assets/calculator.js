/* The calculator of a formula page. Receives the formula's program and symbols from the page, material figures from
   assets/values.js; hands on the result as you type, with its working and a link that holds the inputs. */
(function () {
  "use strict";
  var form = document.querySelector("form.calc[data-rule]");
  if (!form) { return; }
  var rule = JSON.parse(form.dataset.rule), symbols = JSON.parse(form.dataset.symbols), unit = form.dataset.unit;
  var result = form.querySelector(".calc__result"), said = form.querySelector(".calc__said");
  var work = form.querySelector(".calc__working"), link = form.querySelector(".calc__link");

  /** Text as typed to {low, high, digits}, or a sentence that says what is wrong. */
  function parse(text, symbol) {
    var name = symbol.meaning;
    text = text.trim();
    if (!text) { return name + ": type a number."; }
    function bare(part) {
      part = part.trim();
      [symbol.unit, symbol.typed].forEach(function (u) {
        if (u && part.toLowerCase().slice(-u.length) === u.toLowerCase()) { part = part.slice(0, -u.length).trim(); }
      });
      return part;
    }
    var numbers = benchForms.range(text, bare);
    if (numbers === null) { return name + ": \u201c" + text.slice(0, 30) + "\u201d is not a number. Type digits, such as " + symbol.example + ", or a range, such as 7.9 to 8.0."; }
    if (numbers.ask) { return name + ": " + numbers.ask; }
    var values = numbers.map(Number), low = Math.min.apply(null, values), high = Math.max.apply(null, values);
    if (symbol.whole && !values.every(Number.isInteger)) { return name + ": only a whole number makes sense here, such as " + symbol.example + "."; }
    if (low < +symbol.range[0] || high > +symbol.range[1]) {
      return name + ": this formula is meant for " + symbol.shown + (symbol.unit ? "\u00a0" + symbol.unit : "") + ".";
    }
    return { low: numbers[0], high: numbers[numbers.length - 1], digits: symbol.exact ? 99 : Math.min.apply(null, numbers.map(benchCalc.digitsOf)) };
  }

  function update() {
    var inputs = {}, faults = [], held = [];
    symbols.forEach(function (symbol) {
      var field = form.elements[symbol.name], picker = form.elements["pick-" + symbol.name], picked = picker && picker.value ? benchValues[symbol.property][+picker.value] : null;
      var value = picked && field.value === picked[1] ? { low: picked[2], high: picked[3], digits: picked[4] } : parse(field.value, symbol);
      var wrong = typeof value === "string";
      field.setAttribute("aria-invalid", String(wrong && field.value !== ""));
      if (wrong) { faults.push(value); } else { inputs[symbol.name] = value; }
      held.push(encodeURIComponent(symbol.name) + "=" + encodeURIComponent(field.value));
    });
    link.href = location.pathname.split("/").pop() + "?" + held.join("&");
    if (faults.length) {
      result.textContent = "";
      work.textContent = "";
      said.textContent = faults[0];
      return;
    }
    var value = benchCalc.resultOf(rule, inputs);
    if (value.fault) {
      result.textContent = "";
      work.textContent = "";
      said.textContent = value.fault;
      return;
    }
    result.textContent = benchCalc.shown(value) + (unit ? "\u00a0" + unit : "") + (rule.rounded && benchCalc.isCut(value) ? " (rounded " + rule.rounded + ", to be safe)" : "");
    said.textContent = benchCalc.meaning(rule, value);
    work.textContent = symbols.map(function (s) { return s.meaning + " " + form.elements[s.name].value.trim() + (s.unit ? "\u00a0" + s.unit : ""); }).join("; ");
  }

  symbols.forEach(function (symbol) {
    var picker = form.elements["pick-" + symbol.name];
    if (!picker || !window.benchValues) { return; }
    (benchValues[symbol.property] || []).forEach(function (row, i) { picker.add(new Option(row[0], String(i))); });
    picker.hidden = false;
    picker.addEventListener("change", function () {
      if (picker.value) { form.elements[symbol.name].value = benchValues[symbol.property][+picker.value][1]; }
      update();
    });
  });
  var given = new URLSearchParams(location.search);
  symbols.forEach(function (symbol) {
    if (given.has(symbol.name)) { form.elements[symbol.name].value = given.get(symbol.name); }
  });
  form.addEventListener("input", update);
  form.addEventListener("submit", function (event) { event.preventDefault(); });
  form.hidden = false;
  update();
})();
