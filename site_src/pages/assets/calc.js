/* Receives a formula's program (postfix list) and inputs as intervals; hands on an interval with its digits, and text.
   The Python twin is generator/numbers/formulas.py and generator/numbers/quantities.py; the tests compare the two. */
(function () {
  "use strict";
  var EXACT = 99;
  var TWO = {
    "+": function (a, b) { return a + b; }, "-": function (a, b) { return a - b; },
    "*": function (a, b) { return a * b; }, "/": function (a, b) { return a / b; },
    "**": Math.pow, "min": Math.min, "max": Math.max
  };
  var ONE = { "neg": function (a) { return -a; }, "sqrt": Math.sqrt, "exp": Math.exp, "ln": Math.log, "abs": Math.abs };

  /** Decimal exponent of the leading digit. */
  function lead(x) { return parseInt(Math.abs(x).toExponential().split("e")[1], 10); }

  /** Significant digits as typed: 7.90 has 3, 0.05 has 1. */
  function digitsOf(text) {
    var plain = String(text).trim().replace(/^[-+]/, "").split(/e/i)[0].replace(".", "");
    var stripped = plain.replace(/^0+/, "");
    return stripped.length || Math.max(1, plain.length - 1);
  }

  function sumDigits(a, da, b, db, result) {
    var places = [];
    if (da < EXACT && a && isFinite(a)) { places.push(lead(a) - da + 1); }
    if (db < EXACT && b && isFinite(b)) { places.push(lead(b) - db + 1); }
    if (!places.length || !isFinite(result)) { return Math.min(da, db); }
    return result ? Math.max(1, lead(result) - Math.max.apply(null, places) + 1) : 1;
  }

  /** Runs a program on {name: [value, digits]}; returns [value, digits]. */
  function run(program, values) {
    var stack = [];
    program.forEach(function (step) {
      if (step.charAt(0) === "#") { stack.push([parseFloat(step.slice(1)), EXACT]); }
      else if (step === "pi") { stack.push([Math.PI, EXACT]); }
      else if (ONE.hasOwnProperty(step)) { var top = stack.pop(); stack.push([ONE[step](top[0]), top[1]]); }
      else if (TWO.hasOwnProperty(step)) {
        var b = stack.pop(), a = stack.pop(), value = TWO[step](a[0], b[0]);
        stack.push([value, step === "+" || step === "-" ? sumDigits(a[0], a[1], b[0], b[1], value) : Math.min(a[1], b[1])]);
      } else { stack.push(values[step]); }
    });
    return stack[0];
  }

  /** Runs a program on {name: {low, high, digits}} over all corners; an absent end is infinite. Null when there is no result. */
  function evaluate(program, inputs) {
    var names = Object.keys(inputs), corners = [{}], bends = [];
    function endsOf(q) { return q.low === q.high ? [q.low] : [q.low === null ? -Infinity : q.low, q.high === null ? Infinity : q.high]; }
    /* abs, min and max bend where two inputs are equal: try those points too. */
    if (program.some(function (step) { return step === "abs" || step === "min" || step === "max"; })) {
      names.forEach(function (name) { bends = bends.concat(endsOf(inputs[name])); });
    }
    names.forEach(function (name) {
      var q = inputs[name], ends = endsOf(q);
      if (ends.length > 1) { ends = ends.concat(bends.filter(function (b) { return b > ends[0] && b < ends[1]; })); }
      var next = [];
      corners.forEach(function (corner) {
        ends.forEach(function (end) {
          var copy = Object.assign({}, corner);
          copy[name] = [end, q.digits];
          next.push(copy);
        });
      });
      corners = next;
    });
    var results = corners.map(function (corner) { return run(program, corner); });
    if (results.some(function (r) { return isNaN(r[0]); })) { return null; }
    var values = results.map(function (r) { return r[0]; });
    var finite = results.filter(function (r) { return isFinite(r[0]); });
    if (!finite.length) { return null; }
    var low = Math.min.apply(null, values), high = Math.max.apply(null, values);
    /* A zero that comes from dividing by an open end is no finding: that end stays open. */
    var open = names.some(function (name) { return inputs[name].low === null || inputs[name].high === null; });
    return {
      low: isFinite(low) && !(open && low === 0) ? low : null, high: isFinite(high) && !(open && high === 0) ? high : null,
      digits: Math.min.apply(null, finite.map(function (r) { return r[1]; }))
    };
  }

  /** A number to so many significant digits. way: -1 down, 1 up, 0 nearest. */
  function round(x, digits, way) {
    if (!x) { return "0"; }
    digits = Math.min(digits, 12);
    var places = digits - 1 - lead(x);
    var scaled = parseFloat(Number(x.toPrecision(15)) + "e" + places);
    if (isNaN(scaled)) { scaled = x * Math.pow(10, places); }
    var near = Math.round(scaled);
    var whole = Math.abs(scaled - near) < 1e-6 ? near : way < 0 ? Math.floor(scaled) : way > 0 ? Math.ceil(scaled) : near;
    if (way === 0 && Math.abs(Math.abs(scaled % 1) - 0.5) < 1e-9) { whole = 2 * Math.round(scaled / 2); }
    var value = whole / Math.pow(10, places);
    return places > 0 ? value.toFixed(places) : String(Math.round(value));
  }

  function pretty(text) {
    var minus = text.charAt(0) === "-", parts = text.replace("-", "").split(".");
    if (parts[0].length > 4) { parts[0] = parts[0].replace(/\B(?=(\d{3})+$)/g, "\u202f"); }
    return (minus ? "\u2212" : "") + parts.join(".");
  }

  function fitted(x, digits, way) {
    var text = round(x, digits, way);
    return pretty(digits >= EXACT && text.indexOf(".") >= 0 ? text.replace(/\.?0+$/, "") : text);
  }

  /** An interval as a reader sees it, without unit. Intervals round outwards. */
  function shown(q) {
    if (q.low !== null && q.low === q.high) { return fitted(q.low, q.digits, 0); }
    if (q.high === null) { return "at least\u00a0" + fitted(q.low, q.digits, -1); }
    if (q.low === null) { return "at most\u00a0" + fitted(q.high, q.digits, 1); }
    var low = fitted(q.low, q.digits, -1), high = fitted(q.high, q.digits, 1);
    return low === high ? low : low + "\u00a0to\u00a0" + high;
  }

  window.benchCalc = { digitsOf: digitsOf, run: run, evaluate: evaluate, shown: shown, round: round };
})();
