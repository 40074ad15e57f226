/* What a person types as a number, read one way by every field of the site: one number, a range, a limit, with or
   without a unit. The Python twin is generator/numbers/typed.py; both read tests/unit/typed_inputs.yaml and refuse in
   the same words. The units come from assets/units.js, which generator/numbers/units.py makes. */
(function () {
  "use strict";
  const EVEN = 6, LONGEST = 30, EXACT = 99;
  /* Pages that only read plain numbers (`one`) come without decimal.js. */
  const D = globalThis.Decimal && Decimal.clone({ precision: 40, rounding: EVEN, minE: -9e15, maxE: 9e15 });
  const NUMBER = /^[-+]?([0-9]{1,12}(\.[0-9]{0,12})?|\.[0-9]{1,12})([eE][-+]?[0-9]{1,2})?$/;
  const ASKED = /^[-+]?[0-9]{1,3}(,[0-9]{3})+$/, THOUSANDS = /^[-+]?[0-9]{1,3}(,[0-9]{3})+\.[0-9]+$/;
  const WITH_UNIT = /^([-+]?(?:[0-9](?:[0-9 ,.']*[0-9.])?|[.,][0-9]+)(?:[eE][-+]?[0-9]{1,2}(?!\w))?)\s*(.*)$/;
  const BETWEEN = /\s*(?:\.\.\.?|\u2026|\u2013|\u2014)\s*| to /, DASHED = /^(.*[^\s-])\s*-\s*(-?[.0-9].*)$/;
  const LEAST = /^(?:at least|\u2265)\s*(.+)$/i, MOST = /^(?:at most|\u2264)\s*(.+)$/i;
  const OPEN = /^(>|<|min\.?|max\.?|over|under|above|below)\s*(.*[0-9].*)$/i;
  const FRACTION = /^([-+]?[0-9]+) ?\/ ?([0-9]+)( ?[^0-9]*)$/;
  const MILLIONTHS = /\s*(?:[x\u00d7]\s*|\s)10\^?-6\s*\//g;
  const SUPERSCRIPTS = "\u2070\u00b9\u00b2\u00b3\u2074\u2075\u2076\u2077\u2078\u2079";

  /** A refusal: words that say how to type it. */
  class Refusal extends Error {}
  function refuse(words) { throw new Refusal(words); }
  const quoted = (text) => "\u201c" + text.trim().replace(/\s+/g, " ").slice(0, LONGEST) + "\u201d";

  function tidy(text) {
    return text.replace(/\u2212|\u207b/g, "-").replace(/\u2019/g, "'").replace(/\u2034|'''/g, " ligne")
      .replace(/\u2033|\u201d|''/g, '"').trim().replace(/\s+/g, " ").replace(/\u2076/g, "6").replace(MILLIONTHS, " ppm/").trim();
  }

  function plainUnit(text) {
    const micro = (word) => (word === "\u00b5" ? word : word.replace(/\u00b5/g, "u"));  // alone it is a micron, a u is not
    const even = text.trim().replace(/[\u2070\u00b9\u00b2\u00b3\u2074-\u2079]/g, (c) => SUPERSCRIPTS.indexOf(c)).replace(/\u207b/g, "-");
    return micro(even.replace(/\u03bc/g, "\u00b5")).replace(/\u00ba/g, "\u00b0").replace(/ per (?=\S)/g, "/")
      .replace(/[\s^]/g, "").replace(/[\u00b7*]/g, ".").replace(/\.+$/, "");
  }

  /** The unit that a text names in a field of `target`, or null. */
  function spelled(text, target) {
    const found = benchUnits.spellings[target] || {}, plain = plainUnit(text);
    if (Object.hasOwn(found, plain)) { return found[plain]; }
    const mixed = plain !== plain.toLowerCase() && plain !== plain.toUpperCase();
    const near = Object.keys(found).find((spelling) => plain.toLowerCase() === spelling.toLowerCase() &&
      !(mixed && /^[mM]/.test(plain) && plain[0] !== spelling[0]));
    return near === undefined ? null : found[near];
  }

  function labels(target) {
    const units = [target].concat(Object.values(benchUnits.spellings[target] || {})).filter((u) => Object.hasOwn(benchUnits.scales, u));
    return [...new Set([...new Set(units)].map((u) => benchUnits.scales[u][0]))];
  }

  /** A value in another unit of the same kind. */
  function convert(value, unit, target) {
    if (unit === target) { return value; }
    const [, over, under, offset] = benchUnits.scales[unit], [, over2, under2, offset2] = benchUnits.scales[target];
    return value.plus(offset).times(new D(over).times(under2)).div(new D(under).times(over2)).minus(offset2);
  }

  /** One number as typed, as plain digits; null where it is none. */
  function plainNumber(part) {
    let plain = part.replace(/'/g, " ");
    if (ASKED.test(plain)) {
      refuse("\u201c" + part + "\u201d can mean two numbers; type " + plain.replace(/,/g, "") + " or " + plain.replace(",", ".").replace(/,/g, ""));
    }
    if (THOUSANDS.test(plain)) { plain = plain.replace(/,/g, ""); }
    plain = plain.replace(/(\d) (?=\d{3}\b)/g, "$1").replace(",", ".");
    return NUMBER.test(plain) ? plain.replace(/^([-+]?)\./, "$10.").replace(/\.(?=$|[eE])/, "").replace(/^\+/, "") : null;
  }

  /** Significant digits as typed: 7.90 has 3, 0.05 has 1. */
  function digitsOf(text) {
    const plain = String(text).trim().replace(/^[-+]/, "").split(/e/i)[0].replace(".", "");
    return plain.replace(/^0+/, "").length || Math.max(1, plain.length - 1);
  }

  function reader(text, unit, example) {
    const fault = () => refuse(quoted(text) + " is not a number; type digits, such as " + example + ", or a range, such as 7.9 to 8.0");

    /** One number and the id of its unit, empty where none was typed. */
    function part(piece) {
      const clean = piece.trim(), fraction = clean.match(FRACTION);
      if (fraction && Number(fraction[2])) {
        const decimal = new D(fraction[1]).div(fraction[2]).toSignificantDigits(12, EVEN).toFixed();
        refuse(quoted(clean) + " is a fraction; type " + decimal + fraction[3].trimEnd());
      }
      const found = clean.match(WITH_UNIT);
      const number = found && plainNumber(found[1]);
      if (!found || number === null) { fault(); }
      if (!found[2]) { return { number, unit: "" }; }
      const ask = (benchUnits.asked[unit] || {})[plainUnit(found[2]).toLowerCase()];
      if (ask) { refuse(quoted(clean) + " can mean two units; " + ask); }
      const named = spelled(found[2], unit);
      if (named === null) {
        const known = unit === "1" ? [] : labels(unit);
        refuse(quoted(text) + " is not a number that can be read here; type " + example + " alone" +
          (known.length ? ", or with one of: " + known.join(", ") : ""));
      }
      return { number, unit: named };
    }

    function quantity(ends, digits, units) {
      const found = ends.map((end, i) => convert(new D(end), units[i] || unit, unit)).sort((a, b) => a.cmp(b));
      return { low: found[0], high: found[found.length - 1], digits, converted: units.some((u) => u && u !== unit) };
    }

    function spread(middle, by) {
      const value = part(middle), around = part(by);
      if (value.unit && around.unit && value.unit !== around.unit) { refuse(quoted(text) + " has two units; type both numbers in one"); }
      const places = Math.max(...[value, around].map((p) => (new D(p.number).e < -12 ? 0 : (p.number.split(/e/i)[0].split(".")[1] || "").length - (Number(p.number.split(/e/i)[1]) || 0))), 0);
      const ends = [new D(value.number).minus(around.number), new D(value.number).plus(around.number)].map((end) => end.toFixed(places));
      const named = value.unit || around.unit;
      return quantity(ends, Math.min(...ends.map(digitsOf)), [named, named]);
    }

    function span(clean) {
      const around = clean.split(/\s*(?:\u00b1|\+\/-)\s*/);
      if (around.length === 2) { return spread(...around); }
      let parts = clean.split(BETWEEN);
      const dashed = parts.length === 1 && !/[eE]-/.test(clean) && clean.match(DASHED);
      if (dashed) { parts = [dashed[1], dashed[2]]; }
      if (parts.length > 2 || around.length > 2) { fault(); }
      const found = parts.map(part), units = found.map((p) => p.unit), last = units.length - 1;
      if (units[0] && !units[last] && units[0] !== unit) { refuse(quoted(text) + " has a unit on one end only; type it on both"); }
      if (last && units[last] && !units[0]) { units[0] = units[last]; }
      return quantity(found.map((p) => p.number), Math.min(...found.map((p) => digitsOf(p.number))), units);
    }

    return { part, quantity, span };
  }

  /** A value in `unit`: {low, high, digits, converted}; an open end is null. Throws a refusal. */
  function typed(text, unit, example) {
    const clean = tidy(text), read = reader(text, unit, example);
    if (!clean) { refuse("type a number, such as " + example); }
    for (const [limit, least] of [[LEAST, true], [MOST, false]]) {
      const found = clean.match(limit);
      if (found) {
        const one = read.part(found[1]), q = read.quantity([one.number], digitsOf(one.number), [one.unit]);
        return { ...q, low: least ? q.low : null, high: least ? null : q.high };
      }
    }
    const open = clean.match(OPEN);
    if (open) {
      const least = [">", "min", "over", "above"].includes(open[1].toLowerCase().replace(/\.$/, ""));
      refuse(quoted(text) + " is open at one end; type at " + (least ? "least" : "most") + " and the number");
    }
    return read.span(clean);
  }

  /** What is typed into the field of a symbol, in its unit and range; {fault} in words that say how to type it. */
  function read(text, symbol) {
    try {
      const found = typed(text, symbol.id, symbol.example), ends = [found.low, found.high].filter((end) => end !== null);
      if (symbol.whole && !ends.every((end) => end.isInteger())) { refuse(quoted(text) + " is not a whole number; type a count, such as " + symbol.example); }
      if (symbol.id.startsWith("10^-6") && ends.some((end) => !end.isZero() && end.abs().lt("0.001"))) {
        refuse(quoted(text) + " is in whole units; type millionths: " + ends[0].times("1000000").toFixed());
      }
      if (ends.some((end) => end.lt(symbol.range[0]) || end.gt(symbol.range[1]))) {
        refuse(quoted(text) + " is outside " + symbol.shown + (symbol.unit ? "\u00a0" + symbol.unit : "") + "; type a value within the valid range");
      }
      return { ...found, digits: symbol.exact ? EXACT : found.digits };
    } catch (error) {
      if (error instanceof Refusal) { return { fault: error.message }; }
      throw error;
    }
  }

  /** One plain number as digits; null where it is none; {ask} where a comma may be a point or a thousand. */
  function one(text) {
    try {
      return plainNumber(tidy(text));
    } catch (error) {
      if (error instanceof Refusal) { return { ask: error.message + "." }; }
      throw error;
    }
  }

  globalThis.benchForms = { read, one, digitsOf, convert };
})();
