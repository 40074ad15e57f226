/* Looks up what is typed into the find box. Takes the index (find-index.js) and, where they are asked for, the names in other
   languages (find-names-TAG.js); gives places of entries, best first. Knows no page: the tests run it too.

   A query is tried as a whole name first (exact, then half typed), then word by word: as typed, as the beginning of a longer word,
   misspelt, and last as a compound that holds a known word. A page ranks by the share of what the words tell (a rare word tells more)
   that it holds, by where it holds them, and by how much of one of its names they are. Names in other languages count only where the
   reader has such a language or the index does not know a word. Words are those of find-words.js; find-meant.js says what kind
   of thing they want. */
window.benchSearch = (function () {
  "use strict";
  const { plain, squash, pieces, words, stem, first, distance, letters, unshared, slips, put, place, glued, unpack, book_of, alike, SHORTEST } = window.benchWords;
  const MOST = 12, MOST_KNOWN = 200;
  const TITLE = 1, SPELLING = 0.9, SIGN = 0.55, SUMMARY = 0.55, TEXT = 0.25; // where a word stands
  const HELD = 0.3, WEIGHED = 0.5, NAMED = 0.25; // what counts of: words held at all, where they stand, how much of a name they are
  const BEHIND = { sayings: 0.84, lessons: 0.8, "case": 0.86, "bench task": 0.82, page: 0.95, calculations: 0.96, "whole job": 0.95, marks: 0.97, "kinds of watch": 0.85 };
  const TITLED = 0.06, WHOLE = 0.05; // work whose name holds all that was typed; a page that holds each word somewhere
  const ACTS = 0.35, PART = 0.1; // work that tells how to do what is asked, a part that is named whole
  const SURE = 0.6; // a page of the only kind that can be meant
  const UNNAMED = 0.6, ORDER = 0.06; // words that stand only in texts; a calculation whose name begins as the query does
  const PREFIX = 0.6, MISSPELT = 0.6, COMPOUND = 0.5, SAME = 0.85;
  const COVERED = 60, LIKELY = 60, SETTLED = 0.6; // what a name covered by the query adds, to how many entries, and from which part on nothing else is looked for
  const EXACT = 3000, BEGUN = 2000, LATER = 10, PLURAL = 20, TURNED = 25, ASIDE = 1050, MOSTLY = 0.8, SLIP = 30, MENDED = ["parts"]; // a whole name, a half typed one; what a further name, a plural, other order or little words, and a further name of a page behind lose
  const TYPED = 0, SLIPPED = 1, JOINED = 2; // how a word is looked up, each way after those before it have found nothing whole
  const { place_on, parts_named, leanings, leaned, surely, deeds, tells_how, left_of, in_order } = window.benchMeant({ entry_at: (i) => entries[i], rules: () => index, left_out, strongly });
  let index = null, entries = [], written = null, all = null, book = null, names = [], tongues = {}, readers = [], foreign_names = [];

  /* The index, unpacked */

  /** Takes the index; the other languages of the reader count from the first letter. */
  function start(told, tags) {
    index = told;
    index.leanings.forEach((each) => { each.stems = [].concat(...each.words.map((phrase) => phrase.split(" "))); });
    const lines = (name) => index[name].split("\n");
    const [titles, kinds, summaries, spellings] = ["titles", "kinds", "summaries", "spellings"].map(lines);
    entries = lines("addresses").map((address, i) => ({ address, title: titles[i], kind: kinds[i], summary: summaries[i], rank: index.ranks[i],
      spellings: spellings[i] ? spellings[i].split("|") : [], drawn: false }));
    index.drawn.forEach((i) => { entries[i].drawn = true; });
    readers = index.others.filter((tag) => tags.indexOf(tag) >= 0);
    entries.forEach((entry) => { entry.called = Array.from(new Set([entry.title].concat(entry.spellings).map(squash))).filter(Boolean); });
    names = [];
    entries.forEach((entry, i) => { entry.called.forEach((name) => { names.push([name, i]); }); });
    names.sort((a, b) => a[0] < b[0] ? -1 : a[0] > b[0] ? 1 : a[1] - b[1]);
    written = book_of(places_of_index());
    all = null;
    tongues = {};
  }

  /** Word: {entry: where it stands}. */
  function places_of_index() {
    const places = new Map(), passed = new Set(index.not_asked.split(" "));
    entries.forEach((entry, i) => {
      put(places, passed, entry.title, i, TITLE);
      entry.spellings.forEach((name) => { put(places, passed, name, i, SPELLING); glued(places, name, i, SPELLING); });
      put(places, passed, entry.summary, i, SUMMARY);
    });
    unpack(index, index.signs, (word, i) => { place(places, word, i, SIGN); });
    unpack(index, index.texts, (word, i) => { place(places, word, i, TEXT); });
    return places;
  }

  /** Takes the names in a language; its words join those of the index. */
  function add(tag, told) {
    tongues[tag] = told;
    foreign_names = [];
    all = book_of(new Map(written.places));
    const passed = left_out(), mine = new Set(), list = all.places;
    entries.forEach((_, i) => {
      foreign(i).forEach((name) => {
        words(name.name).filter((word) => !passed.has(word)).forEach((word) => {
          if (!mine.has(word)) { list.set(word, new Map(list.get(word))); mine.add(word); }
          place(list, word, i, SPELLING);
        });
      });
    });
    all.words = Array.from(list.keys()).sort();
  }

  /** Little words that tell nothing, of the languages that are there. */
  function left_out() { return new Set(index.not_asked.split(" ").concat(...Object.values(tongues).map((tongue) => tongue.not_asked))); }

  /** The names of an entry in other languages. A further name gives way to the thing of which it is the first, and that of a family,
      titled in the plural, to a material's. */
  function foreign(i) {
    if (!foreign_names.length) { foreign_names = all_foreign(); }
    return foreign_names[i];
  }

  function all_foreign() {
    const found = entries.map(() => []), passed = left_out();
    Object.values(tongues).forEach((tongue) => {
      Object.keys(tongue.names).forEach((tag) => {
        tongue.names[tag].split("\n").forEach((line, i) => {
          if (!line) { return; }
          line.split("|").forEach((name, place) => {
            const told = telling(words(name), passed);
            found[i].push({ tag, name, key: squash(name), words: told, full: told.slice().sort().join(" "), first: place === 0 && entries[i].kind !== "family", plurals: tongue.plurals });
          });
        });
      });
    });
    return found;
  }

  /** Whether names in other languages may be meant: "some" where the index does not know a word of the query, "half" where it knows
      each at least as a beginning. A number is of no language. */
  function strange_words(query) {
    if (index.shared.indexOf(squash(query)) >= 0) { return "some"; }
    const passed = new Set(index.not_asked.split(" "));
    const unknown = pieces(query).filter((raw) => /[a-z]/.test(raw) && !passed.has(raw) && !written.places.has(stem(raw)));
    return !unknown.length ? "none" : unknown.every(begins) ? "half" : "some";
  }

  /** Whether a word of the index begins with these letters, or they with one that is being bent. */
  function begins(raw) {
    const at = first(written.words, raw);
    if (at < written.words.length && written.words[at].lastIndexOf(raw, 0) === 0) { return true; }
    const bent = raw.match(/^(.{3,}?)(i|in|e|er|es|s)$/);
    return Boolean(bent && written.places.has(bent[1]));
  }

  /** The languages still to be loaded for a query: those of the reader, and all where a word is not known. */
  function missing(query) {
    const wanted = strange_words(query) === "none" ? readers : index.others;
    return wanted.filter((tag) => !tongues[tag]);
  }

  /* Words that answer for a word */

  /** The words of so many letters: [word, letters]. */
  function of_length(length) {
    if (!book.lengths) {
      book.lengths = {};
      book.words.forEach((word) => { (book.lengths[word.length] = book.lengths[word.length] || []).push([word, letters(word)]); });
    }
    return book.lengths[length] || [];
  }

  /** Words that answer for a typed word: [word, weight]. Each is looked up once: at every letter the words before it come again. */
  function answers(word, way) {
    const key = word + "~" + way, known = book.known;
    if (!known.has(key)) {
      if (known.size > MOST_KNOWN) { known.clear(); }
      let found = look_up(word, way !== TYPED);
      if (!found.some((hit) => hit[1] === 1)) { found = found.concat(doer(word)); }
      if (!found.length) { found = unglued(word, way); }
      index.same.filter((each) => each.indexOf(word) >= 0).forEach((each) => {
        each.filter((other) => other !== word).forEach((other) => { found = found.concat(exactly(other, SAME)); });
      });
      known.set(key, way === JOINED && !found.length ? parts(word) : found);
    }
    return known.get(key);
  }

  /** A word of the index, when it is one. */
  function exactly(word, weight) { return book.places.has(word) ? [[word, weight]] : []; }

  /** The work of a tool or person named after it: a welder welds, a winder winds. */
  function doer(word) {
    const work = word.replace(/(er|or)$/, "");
    return work === word || work.length < 4 ? [] : exactly(stem(work), SAME);
  }

  /** Words of a number and what is glued to it: 300C, 28800vph, pt950. */
  function unglued(word, way) {
    const pieces = word.match(/[a-z]+|[0-9]+/g) || [];
    if (pieces.length < 2) { return []; }
    return [].concat(...pieces.filter((piece) => piece.length > 1).map((piece) => answers(piece, way).map((hit) => [hit[0], hit[1] * (/\d/.test(piece) ? 0.9 : 0.7)])));
  }

  /** Words that a compound begins or ends with: the longer, the better. */
  function parts(word) {
    let hits = [];
    for (let length = SHORTEST; length < word.length; length++) {
      [word.slice(0, length), word.slice(-length)].forEach((part) => { hits = hits.concat(exactly(part, COMPOUND * length / word.length)); });
    }
    return hits;
  }

  function look_up(word, misspelt) {
    const hits = [], most = slips(word);
    for (let i = first(book.words, word); i < book.words.length && book.words[i].lastIndexOf(word, 0) === 0; i++) {
      if (book.words[i] === word) { hits.push([word, 1]); }
      else if (word.length > 1) { hits.push([book.words[i], PREFIX * word.length / book.words[i].length]); }
    }
    return !most || (hits.length && !misspelt) ? hits : hits.concat(look_alikes(word, most));
  }

  function look_alikes(word, most) {
    const bits = letters(word), hits = [];
    for (let length = word.length - most; length <= word.length + most; length++) {
      of_length(length).forEach(([other, others]) => {
        if (unshared(bits, others) > 2 * most) { return; }
        const apart = distance(word, other, most);
        if (apart && apart <= most) { hits.push([other, MISSPELT * (1 - apart / word.length)]); }
      });
    }
    return hits;
  }

  /** What one word gives: {tells: how much it tells, held: {entry: 0 to 1}}; nothing where no page holds it. */
  function weigh(word, way) {
    const held = new Map();
    let own = 0, every = 0, best = 0;
    answers(word, way).forEach(([other, weight]) => {
      const places = book.places.get(other);
      if (weight === 1) { own = places.size; }
      every += places.size;
      places.forEach((where, i) => { best = Math.max(best, where * weight); if (!(held.get(i) >= where * weight)) { held.set(i, where * weight); } });
    });
    return every ? { tells: Math.log(1 + entries.length / (own || every)) * (best < SIGN * MISSPELT ? UNNAMED : 1), held } : null;
  }

  /* Names */

  /** How much of its best fitting name the words of a question are, 0 to 1. */
  function covered(i, asked) {
    const joined = asked.join("");
    return entries[i].called.reduce((most, name) => {
      const found = asked.reduce((sum, word) => sum + (name.indexOf(word) >= 0 ? word.length : 0), 0);
      return Math.max(most, Math.min(1, found / Math.max(name.length - 2, joined.length)));
    }, 0);
  }

  function several(name, key) { return key.lastIndexOf(name.key, 0) === 0 && name.plurals.indexOf(key.slice(name.key.length)) >= 0; }

  /** The name in another language that a query means, and how much of the two is the same, 0 to 1; 2 where all is. */
  function meant(i, question) {
    let best = [0, null];
    named(i).forEach((name) => {
      const same = name.key === question.key || several(name, question.key) ? 2 : alike(question.asked, name.words);
      if (same > best[0]) { best = [same, name]; }
    });
    return best;
  }

  /** The telling words of the spellings of an entry, in one order. */
  function said(entry) {
    if (!entry.said) {
      const passed = new Set(index.not_asked.split(" "));
      entry.said = (BEHIND[entry.kind] < 0.9 ? [] : entry.spellings).map((name) => telling(words(name), passed).sort().join(" "));
    }
    return entry.said;
  }

  /** The names of an entry in other languages, where they count. */
  function named(i) { return book === all ? foreign(i) : []; }

  /** Whether the title of an entry has all words of a question, as typed, half typed or misspelt. */
  function titled(i, asked) {
    const title = words(entries[i].title);
    return asked.every((word) => {
      const most = slips(word);
      return title.some((own) => own.lastIndexOf(word, 0) === 0 || (most && distance(word, own, most) <= most));
    });
  }

  /* A question: {key, asked, heads, scores: {entry: points}, weighed, told, held, every} */

  /** The words of a question that tell something. */
  function telling(asked, passed) {
    let left = asked.filter((word) => !passed.has(word));
    /* The number of a standard tells which; who wrote it tells little. */
    if (left.some((word) => /^\d{3,}/.test(word))) { left = left.filter((word) => !/^(iso|en|din|astm|bs|jis)$/.test(word)); }
    return left.length ? left : asked;
  }

  /** A text with letters as its language has them: Gehaeuse as Gehause, which is what is left of Gehäuse. */
  function respelt(text) {
    if (book !== all) { return text; }
    return [].concat(...Object.values(tongues).map((tongue) => tongue.spelled)).reduce((so_far, pair) => so_far.split(pair[0]).join(pair[1]), text);
  }

  /** A number and its sign as one word, where the index has it so: 18 k, 200 m. */
  function united(apart, number, sign) { return book.places.has((number + sign).toLowerCase()) ? number + sign : apart; }

  /** The words of a name that is typed as one: caseback, springbars. */
  function parted(word) {
    if (word.length < 6 || book.places.has(word)) { return [word]; }
    const at = first(names, word, (name) => name[0]), hit = names[at] && names[at][0].lastIndexOf(word, 0) === 0 && names[at][0].length < word.length + 3 ? names[at] : null;
    const entry = hit && entries[hit[1]];
    return entry ? words([entry.title].concat(entry.spellings).find((name) => squash(name) === hit[0])) : [word];
  }

  function read(query) {
    book = all && (readers.length || strange_words(query) !== "none") ? all : written;
    const passed = book === all ? left_out() : new Set(index.not_asked.split(" ")), asked = joined([].concat(...telling(words(query.replace(/\b(\d+) (m|k|ct|mm|c|g)\b/gi, united)), passed).map(parted))), leans = leanings(query);
    const aside = new Set([].concat(...leans.filter((each) => each.passed).map((each) => each.words)));
    const done = asked.filter((word) => !leans.some((each) => each.words.indexOf(word) >= 0));
    const typed = { stems: words(query), raw: pieces(query) };
    return { parts: parts_named(typed), part_meant: leans.some((each) => String(each.kinds) === "parts"), done, doing: deeds([query]).some((word) => done.indexOf(word) >= 0), key: squash(query), full: asked.slice().sort().join(" "), asked: telling(asked, aside), leans, turned: /\bhow many\b.*\b(in|per|is|are)\b/i.test(query), standard: /\b(iso|en|din|astm|bs|jis|nihs)\b/i.test(query), heads: words((query.match(/^(.*?\S)\s+(?:for|of|in|on|under)\s/i) || ["", ""])[1]), scores: {} };
  }

  /** Two words that are one in a name: hair spring. */
  function joined(asked) {
    return asked.reduce((so_far, word) => {
      const before = so_far[so_far.length - 1], one = stem(before + word);
      return before && /^[a-z]{6,}$/.test(one) && strongly(one).size ? so_far.slice(0, -1).concat(one) : so_far.concat(word);
    }, []);
  }

  /** The entries that a word names. */
  function strongly(word) {
    const found = new Set();
    answers(word, TYPED).filter((hit) => hit[1] >= SAME).forEach(([other, weight]) => {
      book.places.get(other).forEach((where, i) => { if (where >= SPELLING) { found.add(i); } });
    });
    return found;
  }

  /** The page that answers what the words of a query ask: which of two, what metal, what touches what. */
  function answering(question) {
    question.leans.filter((each) => each.page).forEach((each) => {
      entries.forEach((entry, i) => { if (entry.address === each.page) { give(question, i, BEGUN); } });
    });
  }

  function respell(question) { return Object.assign({}, question, { key: respelt(question.key), asked: question.asked.map(respelt), weighed: null }); }

  function give(question, i, score) { question.scores[i] = Math.max(question.scores[i] || 0, score + entries[i].rank / 100); }

  function by_name(question) {
    by_name_typed(question, question.key, 0);
    if (nothing(question)) { by_misspelt_name(question); }
    if (/[a-z]{3}s$/.test(question.key)) { by_name_typed(question, question.key.slice(0, -1), PLURAL); }
    const told = question.leans.some((each) => each.things > 1 || each.page) ? "" : question.full; // where the order tells, other order is another thing
    if (told.indexOf(" ") > 0) { entries.forEach((entry, i) => { if (said(entry).indexOf(told) >= 0) { give(question, i, EXACT - TURNED + LATER * tells_how(question, i) + 2 * meant_more(question, i)); } }); }
    by_other_name(question, true);
  }

  /** What puts one of several pages of one name first: safety. */
  function meant_more(question, i) { return surely(question, i) || (entries[i].kind === "first aid" && titled(i, question.asked)) ? LATER : 0; }

  /** The part or work that is named whole, with slips. */
  function by_misspelt_name(question) {
    const key = question.key, most = slips(key), bits = letters(key);
    names.forEach(([name, i]) => {
      if (!most || Math.abs(name.length - key.length) > most || MENDED.indexOf(entries[i].kind) < 0 || unshared(bits, letters(name)) > 2 * most) { return; }
      if (distance(key, name, most) <= most) { give(question, i, EXACT - SLIP); }
    });
  }

  function by_name_typed(question, key, less) {
    for (let at = first(names, key, (name) => name[0]); at < names.length && names[at][0].lastIndexOf(key, 0) === 0; at++) {
      const [name, i] = names[at];
      const behind = BEHIND[entries[i].kind] < 0.9, aside = behind && name !== squash(entries[i].title);
      if (aside ? name !== key : behind && key.length < MOSTLY * name.length) { continue; } // "blue steel" is no half typed saying
      const lost = name === key && name === squash(entries[i].title) ? 0 : less;
      give(question, i, aside ? ASIDE : (name === key ? EXACT + meant_more(question, i) : BEGUN - (name.length - key.length)) - lost);
    }
  }

  function by_other_name(question, half_typed) {
    const key = question.key;
    entries.forEach((_, i) => {
      named(i).forEach((name) => {
        const further = name.first ? 0 : LATER;
        if (name.key === key) { give(question, i, EXACT - further); }
        else if (several(name, key)) { give(question, i, EXACT - PLURAL - further); }
        else if (name.full === question.full) { give(question, i, EXACT - TURNED - further); }
        else if (half_typed && name.key.lastIndexOf(key, 0) === 0) { give(question, i, BEGUN - (name.key.length - key.length)); }
      });
    });
  }

  /** The entries that hold every word of a question. */
  function whole(question) { return Object.keys(question.held).filter((i) => question.every[i] === question.asked.length); }

  /** A name of which the query is only a small part does not end the search: Brücken is meant by Brücke before Brückenschraube. */
  function settled(question) {
    const found = whole(question);
    return found.some((i) => titled(i, question.asked) || !named(i).length) || found.some((i) => meant(i, question)[0] > SETTLED);
  }

  function by_words(question, way) {
    if (way !== TYPED && settled(question)) { return; }
    const weighed = question.asked.map((word) => {
      const found = weigh(word, way);
      return found && { tells: found.tells * left_of(question, word), held: found.held };
    }).filter(Boolean);
    Object.assign(question, { told: weighed.reduce((sum, word) => sum + word.tells, 0), held: {}, every: {} });
    weighed.forEach((word) => {
      word.held.forEach((weight, i) => {
        const held = question.held[i] = question.held[i] || [0, 0];
        question.every[i] = (question.every[i] || 0) + 1;
        held[0] += word.tells * Math.min(1, 2 * weight);
        held[1] += word.tells * weight;
      });
    });
  }

  function nothing(question) { return !Object.keys(question.scores).length; }
  /** Names first, then words, each as typed and as its language spells it. */
  function look(query) {
    let question = read(query);
    if (!question.key) { return question; }
    by_name(question);
    const other = respell(question);
    if (other.key !== question.key && nothing(question)) {
      by_other_name(other, false);
      if (!nothing(question)) { question = other; }
    }
    by_words(question, TYPED);
    if (other.key !== question.key && !whole(question).length && nothing(question)) {
      question = other;
      by_name(question);
      by_words(question, TYPED);
    }
    by_words(question, SLIPPED);
    by_words(question, JOINED);
    return question;
  }

  function give_for_words(question, i) {
    const held = question.held[i], share = held[0] / question.told, asked = question.asked, kind = entries[i].kind, sure = surely(question, i);
    let weight = HELD * share + WEIGHED * held[1] / question.told + NAMED * covered(i, asked) * share;
    if (kind === "work" && (asked.length > 1 ? titled(i, asked) : begins_title(i, asked[0]))) { weight += TITLED; }
    if (kind === "calculations" && in_order(i, question)) { weight += ORDER * (sure ? 3 : 1); }
    if (question.every[i] === asked.length) { weight += WHOLE; }
    weight += leaned(question, kind) * share + ACTS * tells_how(question, i) * (question.doing ? 1 : 0.6) + (sure ? SURE : 0) + (question.parts.has(Number(i)) ? PART * (question.part_meant ? 3 : 1) : 0);
    give(question, i, 1000 * weight * (BEHIND[kind] || 1));
  }

  function begins_title(i, word) { return plain(entries[i].title).lastIndexOf(word, 0) === 0; }

  function best_first(scores) { return Object.keys(scores).map(Number).sort((a, b) => scores[b] - scores[a] || a - b); }

  /** Indexes of entries, best first. */
  function ask(query) {
    const question = look(query), scores = question.scores;
    if (!question.key) { return []; }
    Object.keys(question.held).forEach((i) => { give_for_words(question, i); });
    answering(question);
    const likely = best_first(scores).slice(0, LIKELY);
    if (likely.length && !titled(likely[0], question.asked)) {
      likely.forEach((i) => { if (scores[i] < BEGUN) { scores[i] += COVERED * meant(i, question)[0]; } });
    }
    return best_first(scores).slice(0, MOST);
  }

  /** The word of another language that a hit answers to: none where its title does. */
  function other_name(i, query) {
    const question = read(query);
    if (titled(i, question.asked)) { return null; }
    const best = [question, respell(question)].map((way) => meant(i, way)).reduce((a, b) => b[0] > a[0] ? b : a);
    return best[0] >= 0.4 ? { tag: best[1].tag, name: best[1].name, language: index.languages[best[1].tag] } : null;
  }

  return { start, add, ask, place_on, other_name, missing, strange_words, entry (i) { return entries[i]; } };
})();
