/* What a person types as a number, read one way by every field of the site: one number or a range.
   The Python twin is `typed` in generator/numbers/formulas.py; both are tested with the same list. */
(function () {
  "use strict";
  const NUMBER = /^[-+]?(\d{1,12}(\.\d{0,12})?|\.\d{1,12})([eE][-+]?\d{1,2})?$/;
  const ASKED = /^[-+]?\d{1,3}(,\d{3})+$/;

  /** One number as typed, as plain digits; {ask} where a comma may be a point or a thousand; null where it is no number. */
  function one(text) {
    let plain = text.trim().replace(/\u2212/g, "-").replace(/[\u2019']/g, " ");
    if (ASKED.test(plain)) {
      const bare = plain.replace(/,/g, "");
      return { ask: "\u201c" + plain + "\u201d can mean two numbers: type " + bare + " or " + plain.replace(",", ".").replace(/,/g, "") + "." };
    }
    if (/^[-+]?\d{1,3}(,\d{3})+\.\d+$/.test(plain)) { plain = plain.replace(/,/g, ""); }
    plain = plain.replace(/(\d)[\s\u00a0\u202f](?=\d{3}\b)/g, "$1").replace(",", ".");
    if (!NUMBER.test(plain)) { return null; }
    return plain.replace(/^([-+]?)\./, "$10.").replace(/\.(?=$|[eE])/, "").replace(/^\+/, "");
  }

  /** A number or a range as [low, high] in plain digits, {ask}, or null. `strip` takes a unit off each end. */
  function range(text, strip) {
    const clean = text.trim().replace(/\u03bc/g, "\u00b5").replace(/\u2212/g, "-").replace(/[\u00a0\u202f\s]+/g, " ");
    const bare = strip || (part => part.trim());
    const spread = clean.split(/\s*(?:\u00b1|\+\/-)\s*/);
    if (spread.length === 2) {
      const [middle, by] = spread.map(part => one(bare(part)));
      if (!middle || !by || middle.ask || by.ask) { return middle && middle.ask ? middle : by && by.ask ? by : null; }
      const places = Math.max(new Decimal(middle).dp(), new Decimal(by).dp(), (middle.split(".")[1] || "").length);
      return [new Decimal(middle).minus(by).toFixed(places), new Decimal(middle).plus(by).toFixed(places)];
    }
    let parts = clean.split(/\s*(?:\.\.\.?|\u2026|\u2013|\u2014)\s*| to /);
    const dashed = parts.length === 1 && !/[eE]-/.test(clean) && clean.match(/^(.*[^\s-])\s*-\s*([.\d].*)$/);
    if (dashed) { parts = [dashed[1], dashed[2]]; }
    if (parts.length > 2) { return null; }
    const ends = parts.map(part => one(bare(part)));
    const asked = ends.find(end => end && end.ask);
    if (asked) { return asked; }
    if (ends.some(end => end === null)) { return null; }
    return ends.sort((a, b) => a - b);
  }

  window.benchForms = { one: one, range: range };
})();
