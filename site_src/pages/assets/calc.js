/* Takes a formula's program (postfix list) and inputs as intervals; gives an interval with its digits, and text.
   The Python twin is generator/numbers/formulas.py and quantities.py, where the digit rule is stated; both pass
   tests/unit/vectors. Arithmetic is decimal, with the same precision and rounding on both sides. */
(function () {
  "use strict";
  const EXACT = 99, LEAST = 4, MOST = 12, WHOLE = 8, CUT = 6, SETTLED = 28, FAINTEST = -30;
  const UP = 2, DOWN = 3, EVEN = 6;  // decimal.js: towards +infinity, towards -infinity, half even
  const NBSP = "\u00a0";
  const D = Decimal.clone({ precision: 40, rounding: EVEN, minE: -9e15, maxE: 9e15 });
  const PI = new D("3.14159265358979323846264338327950288419716939937511");
  const TINY = new D("1e-1000001");  // a number divided by an open end
  const CROSSES = "Between these limits the divisor passes through zero: type a narrower range.";
  const NO_RESULT = "No result: these values divide by zero or have no real answer.";
  const TWO = {
    "+": (a, b) => a.plus(b), "-": (a, b) => a.minus(b), "*": (a, b) => a.times(b),
    "/": (a, b) => (!b.isFinite() && a.isFinite() ? TINY : a.div(b)), "**": (a, b) => a.pow(b),
    min: (a, b) => D.min(a, b), max: (a, b) => D.max(a, b)
  };
  const ONE = { neg: (a) => a.neg(), sqrt: (a) => a.sqrt(), exp: (a) => a.exp(), ln: (a) => a.ln(), abs: (a) => a.abs() };

  /** Significant digits as typed: 7.90 has 3, 0.05 has 1. */
  function digitsOf(text) {
    const plain = String(text).trim().replace(/^[-+]/, "").split(/e/i)[0].replace(".", "");
    return plain.replace(/^0+/, "").length || Math.max(1, plain.length - 1);
  }

  function sumDigits(a, da, b, db, result) {
    const places = [[a, da], [b, db]].filter(([v, d]) => d < EXACT && v.isFinite() && !v.isZero()).map(([v, d]) => v.e - d + 1);
    if (!places.length || !result.isFinite()) { return Math.min(da, db); }
    return result.isZero() ? 1 : Math.max(1, result.e - Math.max(...places) + 1);
  }

  /** Runs a program on {name: [value, digits]}; returns {value, digits, divisors}; value is null where there is none. */
  function run(program, values) {
    const stack = [], divisors = [];
    let broken = false;
    program.forEach((step) => {
      if (step.charAt(0) === "#") { stack.push([new D(step.slice(1)), EXACT]); }
      else if (step === "pi") { stack.push([PI, EXACT]); }
      else if (Object.hasOwn(ONE, step)) { const [a, digits] = stack.pop(); stack.push([ONE[step](a), digits]); }
      else if (Object.hasOwn(TWO, step)) {
        const [b, db] = stack.pop(), [a, da] = stack.pop();
        if (step === "/") { divisors.push(b.isFinite() && b.isNegative() && !b.isZero()); broken = broken || b.isZero(); }
        const value = TWO[step](a, b);
        stack.push([value, step === "+" || step === "-" ? sumDigits(a, da, b, db, value) : Math.min(da, db)]);
      } else { stack.push([new D(values[step][0]), values[step][1]]); }
      broken = broken || stack[stack.length - 1][0].isNaN();
    });
    return { value: broken ? null : stack[0][0], digits: stack[0][1], divisors: divisors.join() };
  }

  /** Both ends of an input as decimals; an absent end is infinite. */
  function endsOf(q) {
    const [low, high] = q.ends || [q.low, q.high];
    const ends = [low === null ? new D(-Infinity) : new D(low), high === null ? new D(Infinity) : new D(high)];
    return low !== null && high !== null && ends[0].eq(ends[1]) ? [ends[0]] : ends;
  }

  function corners(program, inputs) {
    const bending = program.some((step) => step === "abs" || step === "min" || step === "max");
    /* abs, min and max bend where two inputs are equal: try those points too. */
    const bends = bending ? Object.values(inputs).flatMap(endsOf) : [];
    return Object.keys(inputs).reduce((found, name) => {
      const ends = endsOf(inputs[name]);
      const tried = ends.length > 1 ? ends.concat(bends.filter((b) => b.gt(ends[0]) && b.lt(ends[1]))) : ends;
      return found.flatMap((corner) => tried.map((end) => ({ ...corner, [name]: [end, inputs[name].digits] })));
    }, [{}]);
  }

  function closed(value) {
    return !value.isFinite() || (!value.isZero() && value.e < -1000000) ? null : value.toSignificantDigits(SETTLED, EVEN);
  }

  /** {low, high} as numbers for drawing, `ends` as decimals for text and for carrying on. */
  function quantity(low, high, digits, showing) {
    return { low: low && low.toNumber(), high: high && high.toNumber(), ends: [low, high], digits, showing };
  }

  /** Runs a program on intervals over all corners: a quantity, or {fault} in words. */
  function spread(program, inputs) {
    const results = corners(program, inputs).map((corner) => run(program, corner));
    if (results.some((r) => r.value === null)) { return { fault: NO_RESULT }; }
    if (new Set(results.map((r) => r.divisors)).size > 1) { return { fault: CROSSES }; }
    const finite = results.filter((r) => r.value.isFinite()), values = results.map((r) => r.value);
    const open = Object.values(inputs).some((q) => q.low === null || q.high === null);
    if (!open && finite.length < results.length) { return { fault: NO_RESULT }; }
    const digits = finite.length ? Math.min(...finite.map((r) => r.digits)) : 1;
    return quantity(closed(D.min(...values)), closed(D.max(...values)), digits, { side: "", thresholds: [] });
  }

  /** The same for callers that need no words: null where there is no result. */
  function evaluate(program, inputs) {
    const found = spread(program, inputs);
    return found.fault || (found.ends[0] === null && found.ends[1] === null) ? null : found;
  }

  /** The numbers at which the meaning changes; none where the readings are not meant for these inputs. */
  function thresholdsOf(rule, inputs) {
    const told = rule.readingsFor.every(([name, low, high]) => endsOf(inputs[name]).every((end) => end.gte(low) && end.lte(high)));
    if (!told) { return []; }
    return rule.readings.filter((r) => r[0] !== null).map((r) => [new D(r[0]), r[1]]);
  }

  /** What a formula of the knowledge base gives: demands met, within bounds, rounded as the record says; or {fault}. */
  function resultOf(rule, inputs) {
    for (const [program, words] of rule.demands) {
      const used = Object.fromEntries(Object.entries(inputs).filter(([name]) => program.includes(name)));
      const found = spread(program, used);
      if (found.fault) { return found; }
      if (found.ends[0] !== null && found.ends[0].lte(0)) { return { fault: words }; }
    }
    const found = spread(rule.program, inputs);
    if (found.fault) { return found; }
    const [floor, roof] = rule.bounds.map((b) => (b === null ? null : new D(b)));
    /* A count: what is over does not count. */
    let [low, high] = rule.whole ? found.ends.map((end) => end && end.floor()) : found.ends;
    if ((floor && high && high.lt(floor)) || (roof && low && low.gt(roof))) { return { fault: rule.otherwise }; }
    if (floor && low) { low = D.max(low, floor); }
    if (roof && high) { high = D.min(high, roof); }
    return quantity(low, high, rule.whole ? EXACT : found.digits, { side: rule.rounded, thresholds: thresholdsOf(rule, inputs) });
  }

  function place(thresholds, value) {
    const at = thresholds.findIndex(([limit, belongs]) => value.lt(limit) || (belongs && value.eq(limit)));
    return at < 0 ? thresholds.length : at;
  }

  /** What a result means by the readings of its formula; an interval may span two or more. */
  function meaning(rule, q) {
    const [low, high] = q.ends, limits = q.showing.thresholds;
    if (!rule.readings.length || (rule.readings.length > 1 && !limits.length)) { return ""; }
    const from = low === null ? 0 : place(limits, low), to = high === null ? rule.readings.length - 1 : place(limits, high);
    return rule.readings.slice(from, to + 1).map((r) => r[2]).join(" Or: ");
  }

  function pretty(text) {
    const minus = text.charAt(0) === "-", parts = text.replace("-", "").split(".");
    if (parts[0].length > 4) { parts[0] = parts[0].replace(/\B(?=(\d{3})+$)/g, "\u202f"); }
    return (minus ? "\u2212" : "") + parts.join(".");
  }

  /** A number rounded at 10 to the power of `at`, as a decimal. */
  function rounded(value, at, way) {
    return at <= 0 ? value.toDecimalPlaces(-at, way) : value.div(D.pow(10, at)).toDecimalPlaces(0, way).times(D.pow(10, at));
  }

  function written(value, at) { return pretty(value.isZero() ? "0" : value.toFixed(Math.max(0, -at))); }

  function finer(value, at, thresholds, way) {
    while (place(thresholds, rounded(value, at, way)) !== place(thresholds, value)) { at -= 1; }
    return at;
  }

  function most(own, digits) {
    return digits >= EXACT ? (own <= WHOLE ? own : CUT) : Math.min(Math.max(digits, LEAST), MOST);
  }

  /** Significant digits of a decimal, without zeros at its end. */
  function own(value) { return value.isZero() ? 1 : value.sd(); }

  /** The text of one calculated number, and whether the inputs bear all its digits. */
  function point(value, digits, showing, way) {
    if (!value.isZero() && value.e < FAINTEST) { return ["0", false]; }
    const many = own(value), shownDigits = most(many, digits);
    if (value.isZero() || many <= shownDigits) {
      const padded = digits >= EXACT ? many : Math.max(many, Math.min(digits, shownDigits));
      return [written(value, value.e - padded + 1), many <= digits];
    }
    const at = finer(value, value.e - shownDigits + 1, showing.thresholds, way);
    return [written(rounded(value, at, way), at), digits < EXACT && shownDigits <= digits];
  }

  function interval(low, high, digits, showing, table) {
    const many = Math.min(Math.max(digits + 1, LEAST), MOST);
    const at = Math.max(high.minus(low).e - 2, D.max(low.abs(), high.abs()).e - many + 1, FAINTEST);
    const ends = [[low, DOWN], [high, UP]].map(([end, way]) => rounded(end, finer(end, at, showing.thresholds, way), way));
    const places = Math.max(...ends.map((end) => end.dp()));
    const texts = ends.map((end) => written(end, -places));
    return texts[0] === texts[1] ? texts[0] : texts.join(table && !low.isNegative() ? "\u2013" : NBSP + "to" + NBSP);
  }

  /** True for a calculated number that has more digits than are shown. */
  function isCut(q) {
    const [low, high] = q.ends;
    return low !== null && high !== null && low.eq(high) && own(low) > most(own(low), q.digits);
  }

  function calculated(q, table) {
    const [low, high] = q.ends || [q.low, q.high].map((end) => (end === null ? null : new D(end)));
    const ways = { up: UP, down: DOWN, "": EVEN };
    if (low !== null && high !== null && low.eq(high)) {
      const [text, sure] = point(low, q.digits, q.showing, ways[q.showing.side]);
      return sure ? text : (table ? "\u2248" : "about") + NBSP + text;
    }
    if (high === null) { return (table ? "\u2265" : "at least") + NBSP + point(low, q.digits, q.showing, DOWN)[0]; }
    if (low === null) { return (table ? "\u2264" : "at most") + NBSP + point(high, q.digits, q.showing, UP)[0]; }
    return interval(low, high, q.digits, q.showing, table);
  }

  /** A published number to so many significant digits; it never gains digits. */
  function fitted(number, digits, way) {
    const value = new D(number), wanted = Math.min(digits, MOST);
    const at = value.isZero() ? 0 : own(value) <= wanted && digits >= EXACT ? -value.dp() : value.e - wanted + 1;
    return written(rounded(value, at, way), at);
  }

  /** An interval as a reader sees it, without unit. Intervals round outwards. */
  function shown(q, table) {
    if (q.showing) { return calculated(q, table); }
    if (q.low !== null && q.low === q.high) { return fitted(q.low, q.digits, EVEN); }
    if (q.high === null) { return (table ? "\u2265" : "at least") + NBSP + fitted(q.low, q.digits, DOWN); }
    if (q.low === null) { return (table ? "\u2264" : "at most") + NBSP + fitted(q.high, q.digits, UP); }
    const low = fitted(q.low, q.digits, DOWN), high = fitted(q.high, q.digits, UP);
    return low === high ? low : low + (table && q.low >= 0 ? "\u2013" : NBSP + "to" + NBSP) + high;
  }

  globalThis.benchCalc = { digitsOf, run, spread, evaluate, resultOf, meaning, isCut, shown };
})();
