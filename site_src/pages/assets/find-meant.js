/* What the words of a query say of the thing that is wanted: the kinds of page they lean to, the things they name, how much of their
   weight is left. find-search.js hands over what it knows of the index: `entry_at` (the entry at a place), `rules` (the index itself, for its
   leanings and places on pages), `left_out` (words that tell nothing) and `strongly` (the entries that a word names). Knows no page. */
window.benchMeant = function (known) {
  "use strict";
  const { entry_at, rules, left_out, strongly } = known;
  const { squash, pieces, words, stem } = window.benchWords;
  const LEANS = 0.16, LEANED = 0.4; // a page of the kind that was asked for, and what is left of the words that asked for it
  const HEAD = 1.15; // a word before "for", "of" or "in" names the thing, those after it say which
  const DECIMAL = /^0\d{3}$/, FINENESS = /^\d{3}$/, STANDARD = 2, VALUE = 0.2, SMALL = 0.5; // what a number tells: a stamp, a standard, a value, a short one

  /** The things of some kinds that are named, each by where its words stand; words that are one name ("nickel silver") are one thing. */
  function things(typed, kinds) {
    const passed = left_out();
    return typed.stems.reduce((found, word, at) => {
      const pages = passed.has(word) ? [] : Array.from(strongly(word)).filter((i) => kinds.indexOf(entry_at(i).kind) >= 0), before = found[found.length - 1];
      if (!passed.has(word) && before && before.to === at - 1 && one_name(typed.raw[at - 1], typed.raw[at], pages.concat(before.pages))) { before.to = at; return found; }
      return pages.some((i) => noun(entry_at(i), typed.raw[at])) ? found.concat({ from: at, to: at, pages }) : found;
    }, []);
  }

  /** Whether a word names a thing alone, and does not only say which: "steel" ends, "stainless" begins a name; "green" does neither. */
  function noun(entry, word) {
    if (/^(calculations|whole job)$/.test(entry.kind)) { return true; }
    const ends = entry.kind === "family" || entry.kind === "parts", begins = word.length >= 7 && !/ing$/.test(word);
    return entry.called.some((name) => [word, word + "s", word + "alloy", word + "alloys", word.replace(/s$/, "")].indexOf(name) >= 0
      || (ends && name.endsWith(word)) || (begins && name.lastIndexOf(word, 0) === 0) || (/\d/.test(word) && name.endsWith(word)));
  }

  function one_name(before, word, pages) {
    return pages.some((i) => entry_at(i).called.some((name) => name.indexOf(before + word) >= 0 || name.indexOf(word + before) >= 0));
  }

  function titles(name, pages) { return pages.some((i) => squash(entry_at(i).title) === name); }

  /** The parts that a query names whole. */
  function parts_named(typed) {
    const found = things(typed, ["parts"]).map((thing) => {
      const name = typed.raw.slice(thing.from, thing.to + 1).join("");
      return thing.pages.filter((i) => entry_at(i).called.some((own) => own === name || own + "s" === name));
    });
    return new Set([].concat(...found));
  }

  /** Where the words of a leaning stand in a query: [first, behind the last] of each. */
  function said_at(each, typed) {
    const found = [];
    each.words.forEach((phrase) => {
      const wanted = phrase.split(" ");
      typed.stems.forEach((_, at) => { if (wanted.every((word, k) => typed.stems[at + k] === word)) { found.push([at, at + wanted.length]); } });
    });
    return found;
  }

  /** Whether the words of a query say that such a page is wanted: that enough things are named, or one on each side of the word. */
  function leans_to(each, typed) {
    const places = said_at(each, typed);
    if (!places.length || (!each.things && !each.without.length)) { return places.length > 0; }
    const mine = things(typed, each.kinds);
    if (things(typed, each.without).some((other) => titles(typed.raw.slice(other.from, other.to + 1).join(""), other.pages) || !mine.some((thing) => thing.from <= other.from && thing.to >= other.to))) { return false; }
    const named = mine.filter((thing) => places.every(([from, to]) => thing.to < from || thing.from >= to));
    if (!each.between) { return named.length >= each.things; }
    return places.some(([from, to]) => named.some((thing) => thing.to < from && thing.to >= from - 2) && named.some((thing) => thing.from >= to && thing.from < to + 3));
  }

  /** What the words of a query say of the kind of page that is wanted. */
  function leanings(query) {
    const typed = { stems: words(query), raw: pieces(query) }, found = rules().leanings.filter((each) => leans_to(each, typed));
    const also = (ids) => found.some((other) => ids.indexOf(other.id) >= 0);
    return found.filter((each) => !also(each.unless) && (!each.beside.length || also(each.beside)));
  }

  function leaned(question, kind) { return LEANS * Math.min(2, question.leans.filter((each) => !each.page && each.kinds.indexOf(kind) >= 0).length); }

  /** Whether the words of the query name a thing of the only kind that is meant: the number of a stamp, a dangerous substance, two units. */
  function surely(question, i) {
    const kind = entry_at(i).kind, names = (word) => strongly(word).has(Number(i));
    if (kind === "marks" && question.asked.some((word) => (DECIMAL.test(word) || (FINENESS.test(word) && !question.leans.length)) && names(word))) { return true; }
    return question.leans.some((each) => each.sure && each.kinds.indexOf(kind) >= 0 && (each.value
      ? question.asked.every((word) => /\d/.test(word) || (each.words.indexOf(word) >= 0 && names(word)))
      : each.things > 1
      ? question.asked.filter(names).length > 1
      : question.asked.some((word) => (/\d/.test(word) || each.stems.indexOf(word) >= 0) && names(word))));
  }

  /** What some names say is done: "Annealing silver". */
  function deeds(names) { return pieces(names.join(" ")).filter((word) => /ing$/.test(word) && stem(word) !== word).map(stem); }

  /** How surely a page tells how to do what a query says is to be done to something, 0 to 1: by what its title begins with, or by other words of its names. */
  function tells_how(question, i) {
    const entry = entry_at(i);
    if (entry.kind !== "work" || question.asked.length < 2) { return 0; }
    if (!entry.deeds) { entry.deeds = deeds([entry.title].concat(entry.spellings)); }
    const at = entry.deeds.findIndex((deed) => question.done.indexOf(deed) >= 0);
    return at === 0 ? 1 : at > 0 ? 0.6 : 0;
  }

  /** What is left of a word's weight: a short number tells little, and so does a property beside a metal. */
  function left_of(question, word) {
    const less = question.leans.some((each) => each.things && !each.page && each.words.indexOf(word) >= 0) ? LEANED : 1;
    const more = question.standard && /^\d{3,}/.test(word) ? STANDARD : 1;
    if (/^\d+$/.test(word) && question.leans.some((each) => each.value)) { return VALUE; }
    return more * less * (/^(\d{1,2}|\d*mm)$/.test(word) && question.asked.length > 1 ? SMALL : 1) * (question.heads.indexOf(word) >= 0 ? HEAD : 1);
  }

  /** Whether a name of the entry begins with what is given: lignes to millimetres is not millimetres to lignes, and how many millimetres in a ligne is. */
  function in_order(i, question) {
    const units = question.asked.filter((word) => !/\d/.test(word)), head = question.turned ? units[units.length - 1] : units[0];
    return Boolean(head) && entry_at(i).called.some((name) => name.lastIndexOf(head, 0) === 0);
  }

  /** Where on a page of many things the answer stands: "#" and the place of the first thing that the query names, else nothing. */
  function place_on(i, query) {
    const places = rules().places[entry_at(i).address], typed = { stems: words(query), raw: pieces(query) };
    if (!places) { return ""; }
    const [found] = things(typed, ["materials", "family"]).map((thing) => often(thing.pages.map((page) => places[page]).filter(Boolean))).filter(Boolean);
    return found ? "#" + found : "";
  }

  /** What a list holds most often. */
  function often(list) {
    const times = {};
    list.forEach((each) => { times[each] = (times[each] || 0) + 1; });
    return Object.keys(times).reduce((most, each) => times[each] > (times[most] || 0) ? each : most, "");
  }

  return { place_on, parts_named, leanings, leaned, surely, deeds, tells_how, left_of, in_order };
};
