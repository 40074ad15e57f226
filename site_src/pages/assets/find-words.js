/* Words as the find box compares them (`squash` and `words` have twins in generator/site/find_index.py), and how the index tells where
   they stand. Knows no page. */
window.benchWords = (function () {
  "use strict";
  const ASCII = /^[\0-\x7f]*$/, CAPITAL_A = 65;
  const SHORT = /['\u2019](?=(?:s|t|ll|re|ve|d|m)(?![a-z0-9]))/g; // diver's, won't
  const SHORTEST = 5; // letters of a word that a compound may hold

  /** Small letters, two for a joined one, accents set apart. */
  function plain(text) {
    const low = text.toLowerCase();
    return ASCII.test(low) ? low : low.replace(/ß/g, "ss").replace(/œ/g, "oe").replace(/æ/g, "ae").normalize("NFKD");
  }

  /** Letters and digits only: `X2 CrNiMo 17-12-2` and `1,4404` lose what people type differently. */
  function squash(text) { return plain(text).replace(/[^a-z0-9]/g, ""); }

  /** The words of a text as they are typed. */
  function pieces(text) { return plain(text).replace(/[\u0300-\u036f]/g, "").replace(/(\d)[.,](?=\d)/g, "$1").replace(SHORT, "").match(/[a-z0-9]+/g) || []; }

  const stems = new Map();

  /** The words of a text as they are compared. */
  function words(text) {
    return pieces(text).map((word) => {
      if (!stems.has(word)) { stems.set(word, stem(word)); }
      return stems.get(word);
    });
  }

  /** Demagnetize, demagnetiser and demagnetising are one word, and so are plate, plates, plated and plating; a spring is not a "spr". */
  function stem(word) {
    if (word.length < 4 || /\d/.test(word)) { return word; }
    if (word.indexOf("iz") > 0) { word = word.replace(/iz(?=(e|es|ed|er|ing|ation)$)/, "is"); }
    if (word.endsWith("s")) { word = word.replace(/ies$/, "y").replace(/(ss|sh|ch|x)es$/, "$1").replace(/([^su])s$/, "$1"); }
    const bare = word.endsWith("ing") ? word.slice(0, -3) : word.endsWith("ed") && !word.endsWith("eed") ? word.slice(0, -2) : word;
    if (bare !== word && bare.length > 2 && /[aeiouy]/.test(bare)) { word = bare.replace(/([bdfgmnprt])\1$/, "$1"); }
    return word.length > 3 && word.endsWith("e") ? word.slice(0, -1) : word;
  }

  /** The first place in a sorted list that is not before the text. */
  function first(sorted, text, of) {
    let low = 0, high = sorted.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((of ? of(sorted[middle]) : sorted[middle]) < text) { low = middle + 1; } else { high = middle; }
    }
    return low;
  }

  /** How many letters must change, go, come or swap to make one word of another; more than `most` is told as most + 1. Only places
      that are at most `most` apart can matter, so only those are worked out. */
  function distance(a, b, most) {
    const far = most + 1;
    let before = [], row = [], next = [];
    for (let j = 0; j <= b.length; j++) { row[j] = j; }
    for (let i = 1; i <= a.length; i++) {
      const from = Math.max(1, i - most), to = Math.min(b.length, i + most), letter = a.charCodeAt(i - 1);
      let least = i;
      next[from - 1] = from === 1 ? i : far;
      for (let j = from; j <= to; j++) {
        let cost = row[j - 1] + (letter === b.charCodeAt(j - 1) ? 0 : 1);
        if (i > 1 && j > 1 && letter === b.charCodeAt(j - 2) && a.charCodeAt(i - 2) === b.charCodeAt(j - 1)) { cost = Math.min(cost, before[j - 2] + 1); }
        next[j] = Math.min(cost, (j < i + most ? row[j] : far) + 1, next[j - 1] + 1);
        least = Math.min(least, next[j]);
      }
      if (least > most) { return far; }
      [before, row, next] = [row, next, before];
    }
    return row[b.length];
  }

  /** Which letters a word has, a bit each. */
  function letters(word) {
    let bits = 0;
    for (let i = 0; i < word.length; i++) { bits |= 1 << (word.charCodeAt(i) & 31); }
    return bits;
  }

  /** How many letters two words do not share: one slip changes at most two. */
  function unshared(a, b) {
    let bits = a ^ b, count = 0;
    while (bits) { bits &= bits - 1; count += 1; }
    return count;
  }

  /** How many slips a word may hold. */
  function slips(word) { return /\d/.test(word) || word.length < 4 ? 0 : word.length < 8 ? 1 : 2; }

  /** How much of two lists of words is the same, 0 to 1. */
  function alike(asked, others) {
    return asked.reduce((sum, word) => sum + Math.max(0, ...others.map((other) => sameness(word, other))), 0) / Math.max(asked.length, others.length);
  }

  function sameness(word, other) {
    if (word === other) { return 1; }
    if (other.lastIndexOf(word, 0) === 0 || (other.length >= SHORTEST && (word.lastIndexOf(other, 0) === 0 || word.slice(-other.length) === other))) {
      return Math.min(word.length, other.length) / Math.max(word.length, other.length);
    }
    const most = slips(word), apart = most ? distance(word, other, most) : 1;
    return apart <= most ? 1 - apart / word.length : 0;
  }

  /* Places of words: {word: {entry: where it stands}} */

  function put(places, passed, text, i, where) { words(text).forEach((word) => { if (!passed.has(word)) { place(places, word, i, where); } }); }

  /** A number and its sign are one word too: 18 k, gr 5. */
  function glued(places, name, i, where) {
    const whole = squash(name);
    if (/\d/.test(whole) && /[a-z]/.test(whole) && whole.length < 8) { place(places, whole, i, where); }
  }

  function place(places, word, i, where) {
    if (!places.has(word)) { places.set(word, new Map()); }
    const held = places.get(word);
    if (!(held.get(i) >= where)) { held.set(i, where); }
  }

  /** Each word and entry of packed places (find_index._packed says how). */
  function unpack(index, packed, each) {
    const low = values(index.low), high = values(index.high), lists = packed[1].split(" ");
    let word = "";
    (packed[0].match(/[A-Z][^A-Z]*/g) || []).forEach((told, at) => {
      word = word.slice(0, told.charCodeAt(0) - CAPITAL_A) + told.slice(1);
      let i = -1, rest = 0;
      for (let place = 0; place < lists[at].length; place++) {
        const digit = lists[at].charCodeAt(place);
        if (low[digit] === undefined) { rest = rest * index.high.length + high[digit]; continue; }
        i += rest * index.low.length + low[digit] + 1;
        rest = 0;
        each(word, i);
      }
    });
  }

  /** The value of each digit, by its code. */
  function values(digits) {
    const found = [];
    for (let value = 0; value < digits.length; value++) { found[digits.charCodeAt(value)] = value; }
    return found;
  }

  /** What words are looked up in. */
  function book_of(places) { return { places, words: Array.from(places.keys()).sort(), lengths: null, known: new Map() }; }

  return { plain, squash, pieces, words, stem, first, distance, letters, unshared, slips, put, place, glued, unpack, book_of, alike, SHORTEST };
})();
