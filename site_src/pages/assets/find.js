/* The find box. The index (assets/find-index.js) comes ready made and is loaded when the box is first used, so that a page that
   is only read pays nothing. A query is tried as a whole name first (exact, then half typed), then word by word: as typed, as the
   beginning of a longer word, misspelt, and last as a compound that holds a known word. A page ranks by the share of what the words
   tell (a rare word tells more) that it holds, by where it holds them, and by how much of one of its names they are. A hit in another language says its word. `squash` and `words` have twins in generator/site/find.py. */
(function () {
  "use strict";
  const box = document.querySelector(".find"), input = document.getElementById("find-input");
  const list = document.getElementById("find-list"), said = document.getElementById("find-status");
  let root = box.dataset.root.replace(/\/?$/, "/"), engine = null, waiting = null, active = -1, found = [];
  const MOST = 12, MOST_KNOWN = 200;
  const WHERE = "ghijklmnopqrstuvwxyzABCDEFGHIJK"; // the letter for each sum of title 1, spelling 2, summary 4, sign 8, text 16, less one
  const PLACE = /[0-9a-f]+[g-zA-Z]/g, SPELLING = 2;
  const WEIGHTS = [[1, 1], [2, 0.9], [8, 0.65], [4, 0.55], [16, 0.35]];
  const HELD = 0.3, WEIGHED = 0.45, NAMED = 0.25; // what counts of: words held at all, where they stand, how much of a name they are
  const BEHIND = { sayings: 0.84, lessons: 0.8, "case": 0.86, "bench task": 0.82, page: 0.95, calculations: 0.96, "whole job": 0.95, marks: 0.97 };
  const TITLED = 0.06, WHOLE = 0.05; // work whose name holds all that was typed; a page that holds each word somewhere
  const HEAD = 1.15; // a word before "for", "of" or "in" names the thing, those after it say which
  const PREFIX = 0.85, MISSPELT = 0.6, COMPOUND = 0.5, SAME = 0.8;
  const COVERED = 60, LIKELY = 60, SETTLED = 0.6; // what a name covered by the query adds, to how many entries, and from which part on nothing else is looked for
  const SHORTEST = 5; // letters of a word that a compound may hold

  /** Small letters, two for a joined one, accents set apart. */
  function plain(text) { return text.toLowerCase().replace(/ß/g, "ss").replace(/œ/g, "oe").replace(/æ/g, "ae").normalize("NFKD"); }

  /** Letters and digits only: `X2 CrNiMo 17-12-2` and `1,4404` lose what people type differently. */
  function squash(text) { return plain(text).replace(/[^a-z0-9]/g, ""); }

  function words(text) {
    return plain(text).replace(/[\u0300-\u036f]/g, "").replace(/(\d)[.,](?=\d)/g, "$1").split(/[^a-z0-9]+/).filter(Boolean).map(stem);
  }

  /** Demagnetize, demagnetiser and demagnetising are one word, and so are plate, plates, plated and plating; a spring is not a "spr". */
  function stem(word) {
    if (word.length < 4 || !/^[a-z]+$/.test(word)) { return word; }
    word = word.replace(/iz(?=(e|es|ed|er|ing|ation)$)/, "is").replace(/ies$/, "y").replace(/(ss|sh|ch|x)es$/, "$1").replace(/([^su])s$/, "$1");
    const bare = /eed$/.test(word) ? word : word.replace(/(ing|ed)$/, "");
    if (bare !== word && bare.length > 2 && /[aeiouy]/.test(bare)) { word = bare.replace(/([bdfgmnprt])\1$/, "$1"); }
    return word.length > 3 ? word.replace(/e$/, "") : word;
  }

  function load(then) {
    if (engine) { then(); return; }
    if (waiting) { waiting.push(then); return; }
    waiting = [then];
    const element = document.createElement("script");
    element.src = root + "assets/find-index.js";
    element.onload = function () {
      const index = window.benchFindIndex;
      engine = { entries: index.entries, names: index.names.split(" "), of: index.of, words: index.words.split(" "), places: index.places.split(" "),
                 left_out: index.not_asked.split(" "), languages: index.languages, plurals: index.plurals, spelled: index.spelled, same: index.same, drawn: new Set(index.drawn), called: null, foreign: {}, known: new Map(), lengths: null };
      join_names();
      waiting.forEach((each) => { each(); });
      /* The first letters typed then find everything worked out that a question needs. */
      if (window.requestIdleCallback) { requestIdleCallback(() => { ask("a metl"); }); }
    };
    element.onerror = function () {
      waiting = null; // the next letter tries again
      said.textContent = "The index of the find box could not be loaded. Use A to Z.";
      said.classList.add("find__status--none");
    };
    document.head.appendChild(element);
  }

  /** The words of names in other languages join those of the index; made here, they need not be loaded twice. */
  function join_names() {
    const left_out = new Set(engine.left_out), all = new Map(), more = new Map();
    engine.words.forEach((word, at) => { all.set(word, engine.places[at]); });
    engine.entries.forEach((entry, i) => {
      if (!entry[5]) { return; }
      new Set(words(entry[5].replace(/^[^\t]*\t/gm, ""))).forEach((word) => {
        if (left_out.has(word)) { return; }
        if (more.has(word)) { more.get(word).push(i); } else { more.set(word, [i]); }
      });
    });
    more.forEach((entries, word) => { all.set(word, spelt(all.get(word), entries)); });
    engine.words = Array.from(all.keys()).sort();
    engine.places = engine.words.map((word) => all.get(word));
  }

  /** The places of a word that also stands among the spellings of these entries. */
  function spelt(places, entries) {
    let where = new Map(), i = 0, before = 0;
    (places ? places.match(PLACE) : []).forEach((place) => {
      i += parseInt(place, 16);
      where.set(i, WHERE.indexOf(place.charAt(place.length - 1)) + 1);
    });
    entries.forEach((entry) => { where.set(entry, where.get(entry) | SPELLING); });
    return Array.from(where.keys()).sort((a, b) => a - b).map((entry) => {
      const told = (entry - before).toString(16) + WHERE.charAt(where.get(entry) - 1);
      before = entry;
      return told;
    }).join("");
  }

  /** The first place in a sorted list that is not before the text. */
  function first(sorted, text) {
    let low = 0, high = sorted.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (sorted[middle] < text) { low = middle + 1; } else { high = middle; }
    }
    return low;
  }

  /** How many letters must change, go, come or swap to make one word of another; more than `most` is told as most + 1. Only places
      that are at most `most` apart can matter, so only those are worked out. */
  function distance(a, b, most) {
    let far = most + 1, before = [], row = [], next = [], i, j;
    for (j = 0; j <= b.length; j++) { row[j] = j; }
    for (i = 1; i <= a.length; i++) {
      let from = Math.max(1, i - most), to = Math.min(b.length, i + most), letter = a.charCodeAt(i - 1), least = i;
      next[from - 1] = from === 1 ? i : far;
      for (j = from; j <= to; j++) {
        let cost = row[j - 1] + (letter === b.charCodeAt(j - 1) ? 0 : 1);
        if (i > 1 && j > 1 && letter === b.charCodeAt(j - 2) && a.charCodeAt(i - 2) === b.charCodeAt(j - 1)) { cost = Math.min(cost, before[j - 2] + 1); }
        cost = Math.min(cost, (j < i + most ? row[j] : far) + 1, next[j - 1] + 1);
        next[j] = cost;
        if (cost < least) { least = cost; }
      }
      if (least > most) { return far; }
      const spare = before;
      before = row;
      row = next;
      next = spare;
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
  function strange(a, b) {
    let bits = a ^ b, count = 0;
    while (bits) { bits &= bits - 1; count += 1; }
    return count;
  }

  /** The words of so many letters: [number, letters]. */
  function of_length(length) {
    if (!engine.lengths) {
      engine.lengths = {};
      engine.words.forEach((word, i) => { (engine.lengths[word.length] = engine.lengths[word.length] || []).push([i, letters(word)]); });
    }
    return engine.lengths[length] || [];
  }

  /** How a word is looked up, each way after those before it have found nothing whole. */
  const TYPED = 0, SLIPPED = 1, JOINED = 2;

  /** Words of the index that answer for a typed word: [number, weight]. Each is looked up once: at every letter the words before it come again. */
  function answers(word, way) {
    const key = word + "~" + way;
    if (!engine.known.has(key)) {
      if (engine.known.size > MOST_KNOWN) { engine.known.clear(); }
      let found = look_up(word, way !== TYPED);
      if (!found.some((hit) => hit[1] === 1)) { found = found.concat(doer(word)); }
      if (!found.length) { found = unglued(word, way); }
      engine.same.forEach((each) => {
        if (each.indexOf(word) >= 0) { each.forEach((other) => { if (other !== word) { found = found.concat(exactly(other, SAME)); } }); }
      });
      engine.known.set(key, way === JOINED && !found.length ? parts(word) : found);
    }
    return engine.known.get(key);
  }

  /** A word of the index, when it is one. */
  function exactly(word, weight) {
    const at = first(engine.words, word);
    return engine.words[at] === word ? [[at, weight]] : [];
  }

  /** The work of a tool or person named after it: a welder welds, a winder winds. */
  function doer(word) {
    const work = word.replace(/(er|or)$/, "");
    return work === word || work.length < 4 ? [] : exactly(stem(work), SAME);
  }

  /** Words of a number and what is glued to it: 300C, 28800vph, pt950. */
  function unglued(word, way) {
    const pieces = word.match(/[a-z]+|[0-9]+/g) || [];
    if (pieces.length < 2) { return []; }
    return [].concat.apply([], pieces.map((piece) => piece.length < 2 ? [] : answers(piece, way).map((hit) => [hit[0], hit[1] * (/\d/.test(piece) ? 0.9 : 0.7)])));
  }

  /** How many slips a word may hold. */
  function slips(word) { return /\d/.test(word) || word.length < 4 ? 0 : word.length < 8 ? 1 : 2; }

  /** Words that a compound begins or ends with: the longer, the better. */
  function parts(word) {
    const hits = [];
    for (let length = SHORTEST; length < word.length; length++) {
      [word.slice(0, length), word.slice(-length)].forEach((part) => {
        const at = first(engine.words, part);
        if (engine.words[at] === part) { hits.push([at, COMPOUND * length / word.length]); }
      });
    }
    return hits;
  }

  function look_up(word, misspelt) {
    const at = first(engine.words, word), hits = [], most = slips(word);
    for (let i = at; i < engine.words.length && engine.words[i].lastIndexOf(word, 0) === 0; i++) {
      if (engine.words[i] === word) { hits.push([i, 1]); }
      else if (word.length > 1) { hits.push([i, PREFIX * word.length / engine.words[i].length]); }
    }
    if (!most || (hits.length && !misspelt)) { return hits; }
    const bits = letters(word);
    for (let length = word.length - most; length <= word.length + most; length++) {
      of_length(length).forEach((other) => {
        if (strange(bits, other[1]) > 2 * most) { return; }
        const apart = distance(word, engine.words[other[0]], most);
        if (apart && apart <= most) { hits.push([other[0], MISSPELT * (1 - apart / word.length)]); }
      });
    }
    return hits;
  }

  /** What one typed word gives: {tells: how much it tells, held: {entry: 0 to 1}}; nothing where no page holds it. */
  function weigh(word, way) {
    let held = {}, own = 0, all = 0, every = engine.entries.length;
    answers(word, way).forEach((hit) => {
      let places = engine.places[hit[0]].match(PLACE), i = 0;
      if (hit[1] === 1) { own = places.length; }
      all += places.length;
      places.forEach((place) => {
        const where = WHERE.indexOf(place.charAt(place.length - 1)) + 1;
        i += parseInt(place, 16);
        const weight = WEIGHTS.find((one) => where & one[0])[1] * hit[1];
        if (!(held[i] >= weight)) { held[i] = weight; }
      });
    });
    return all ? { tells: Math.log(1 + every / (own || all)), held } : null;
  }

  /** The names of an entry, squashed. */
  function called(i) {
    if (!engine.called) {
      engine.called = engine.entries.map(() => []);
      engine.names.forEach((name, at) => { engine.called[engine.of[at]].push(name); });
    }
    return engine.called[i];
  }

  /** How much of its best fitting name the words of a question are, 0 to 1. */
  function covered(i, asked) {
    const joined = asked.join("");
    return called(i).reduce((most, name) => {
      const found = asked.reduce((sum, word) => sum + (name.indexOf(word) >= 0 ? word.length : 0), 0);
      return Math.max(most, Math.min(1, found / Math.max(name.length - 2, joined.length)));
    }, 0);
  }

  /** The names of an entry in other languages: [tag, name, squashed, its telling words, whether it is the first].
      A further name gives way to the thing of which it is the first, and that of a family, titled in the plural, to a material's. */
  function foreign(i) {
    if (!engine.foreign[i]) {
      const plural = engine.entries[i][2] === "family";
      engine.foreign[i] = [];
      engine.entries[i][5].split("\n").forEach((line) => {
        line.split("\t").slice(1).forEach((name, place) => {
          engine.foreign[i].push([line.split("\t")[0], name, squash(name), telling(words(name)), place === 0 && !plural]);
        });
      });
    }
    return engine.foreign[i];
  }

  /** Whether a query is a name of another language that stands for several. */
  function several(name, key) {
    return key.lastIndexOf(name[2], 0) === 0 && (engine.plurals[name[0].split("-")[0]] || []).indexOf(key.slice(name[2].length)) >= 0;
  }

  /** The name in another language that a query means, and how much of the two is the same, 0 to 1. */
  function meant(i, key, asked) {
    let best = [0, null];
    foreign(i).forEach((name) => {
      let same = 0;
      if (name[2] === key || several(name, key)) { same = 2; } else {
        asked.forEach((word) => {
          same += Math.max.apply(null, [0].concat(name[3].map((other) => {
            if (word === other) { return 1; }
            if (other.lastIndexOf(word, 0) === 0 || (other.length >= SHORTEST && (word.lastIndexOf(other, 0) === 0 || word.slice(-other.length) === other))) {
              return Math.min(word.length, other.length) / Math.max(word.length, other.length);
            }
            const most = slips(word), apart = most ? distance(word, other, most) : 1;
            return apart <= most ? 1 - apart / word.length : 0;
          })));
        });
        same /= Math.max(asked.length, name[3].length);
      }
      if (same > best[0]) { best = [same, name]; }
    });
    return best;
  }

  /** Whether the title of an entry has all words of a question, as typed, half typed or misspelt. */
  function titled(i, asked) {
    const title = words(engine.entries[i][1]);
    return asked.every((word) => {
      const most = slips(word);
      return title.some((own) => own.lastIndexOf(word, 0) === 0 || (most && distance(word, own, most) <= most));
    });
  }

  /** The words of a question that tell something. */
  function telling(asked) {
    let left = asked.filter((word) => engine.left_out.indexOf(word) < 0);
    /* The number of a standard tells which; who wrote it tells little. */
    if (left.some((word) => /^\d{3,}/.test(word))) { left = left.filter((word) => !/^(iso|en|din|astm|bs|jis)$/.test(word)); }
    return left.length ? left : asked;
  }

  /** A text with letters as its language has them: Gehaeuse as Gehause, which is what is left of Gehäuse. */
  function respelt(text) { return engine.spelled.reduce((all, pair) => all.split(pair[0]).join(pair[1]), text); }

  /** Indexes of entries, best first. */
  function ask(query) {
    let key = squash(query), scores = {}, asked = telling(words(query)), weighed = [], told = 0, held = {}, every = {};
    const heads = words((query.match(/^(.*?\S)\s+(?:for|of|in|on|under)\s/i) || ["", ""])[1]);
    if (!key) { return []; }
    function give(i, score) { scores[i] = Math.max(scores[i] || 0, score + engine.entries[i][4] / 100); }
    function by_other_name(key, half_typed) {
      engine.entries.forEach((_, i) => {
        foreign(i).forEach((name) => {
          if (name[2] === key) { give(i, name[4] ? 3000 : 2990); }
          else if (several(name, key)) { give(i, name[4] ? 2980 : 2970); }
          else if (half_typed && name[2].lastIndexOf(key, 0) === 0) { give(i, 2000 - (name[2].length - key.length)); }
        });
      });
    }
    function by_name(key) {
      for (let at = first(engine.names, key); at < engine.names.length && engine.names[at].lastIndexOf(key, 0) === 0; at++) {
        give(engine.of[at], engine.names[at] === key ? 3000 : 2000 - (engine.names[at].length - key.length));
      }
      by_other_name(key, true);
    }
    function whole() { return Object.keys(held).filter((i) => weighed.every((word) => word && word.held[i] >= 0)); }
    /* A name of which the query is only a small part does not end the search: Brücken is meant by Brücke before Brückenschraube. */
    function settled() {
      const found = whole();
      return found.some((i) => titled(i, asked) || !foreign(i).length) || found.some((i) => meant(i, key, asked)[0] > SETTLED);
    }
    function by_words(way) {
      if (way !== TYPED && settled()) { return; }
      weighed = asked.map((word) => {
        const found = weigh(word, way);
        if (found && heads.indexOf(word) >= 0) { found.tells *= HEAD; }
        return found;
      });
      told = 0;
      held = {};
      every = {};
      weighed.forEach((word) => {
        if (!word) { return; }
        told += word.tells;
        Object.keys(word.held).forEach((i) => {
          every[i] = (every[i] || 0) + 1;
          held[i] = held[i] || [0, 0];
          held[i][0] += word.tells * Math.min(1, 2 * word.held[i]);
          held[i][1] += word.tells * word.held[i];
        });
      });
    }
    function nothing() { return !Object.keys(scores).length; }
    by_name(key);
    if (respelt(key) !== key && nothing()) {
      by_other_name(respelt(key));
      if (!nothing()) { key = respelt(key); asked = asked.map(respelt); }
    }
    by_words(TYPED);
    if (respelt(key) !== key && !whole().length && nothing()) {
      key = respelt(key);
      asked = asked.map(respelt);
      by_name(key);
      by_words(TYPED);
    }
    by_words(SLIPPED);
    by_words(JOINED);
    Object.keys(held).forEach((i) => {
      const share = held[i][0] / told, named = covered(i, asked);
      let weight = HELD * share + WEIGHED * held[i][1] / told + NAMED * named * share, kind = engine.entries[i][2];
      if (asked.length > 1 && kind === "work" && titled(i, asked)) { weight += TITLED; }
      if (every[i] === asked.length) { weight += WHOLE; }
      give(i, 1000 * weight * (BEHIND[kind] || 1));
    });
    const likely = Object.keys(scores).sort((a, b) => scores[b] - scores[a] || a - b).slice(0, LIKELY);
    if (likely.length && !titled(likely[0], asked)) {
      likely.forEach((i) => { if (scores[i] < 2000) { scores[i] += COVERED * meant(i, key, asked)[0]; } });
    }
    return Object.keys(scores).map(Number).sort((a, b) => scores[b] - scores[a] || a - b).slice(0, MOST);
  }

  /** The word of another language that a hit answers to: none where its title does. */
  function other_name(i, query) {
    const asked = telling(words(query));
    if (titled(i, asked)) { return null; }
    let best = [[squash(query), asked], [respelt(squash(query)), asked.map(respelt)]].map((way) => meant(i, way[0], way[1]));
    best = best[1][0] > best[0][0] ? best[1] : best[0];
    return best[0] >= 0.4 ? best[1] : null;
  }

  function show() {
    const query = input.value.trim();
    found = query ? ask(query) : [];
    list.textContent = "";
    active = -1;
    found.forEach((i, place) => {
      const entry = engine.entries[i], item = document.createElement("li"), link = document.createElement("a");
      const title = document.createElement("strong"), kind = document.createElement("span"), text = document.createElement("small");
      item.id = "find-" + place;
      item.setAttribute("role", "option");
      item.setAttribute("aria-selected", "false");
      link.href = root + entry[0];
      link.tabIndex = -1;
      title.textContent = entry[1];
      kind.textContent = entry[2];
      kind.className = "find__kind";
      text.textContent = entry[3];
      link.append(title, kind, text);
      const name = other_name(i, query);
      if (name) {
        const word = document.createElement("small");
        word.className = "find__word";
        word.lang = name[0];
        word.textContent = name[1] + " (" + engine.languages[name[0]] + ")";
        kind.after(word);
      }
      if (engine.drawn.has(i)) {
        const picture = new Image(44, 44);
        picture.src = root + "assets/drawings/" + entry[0].replace(".html", ".svg");
        picture.alt = "";
        picture.className = "find__picture";
        link.prepend(picture);
        link.className = "find__drawn";
      }
      item.append(link);
      list.append(item);
    });
    list.hidden = !found.length;
    input.setAttribute("aria-expanded", String(found.length > 0));
    input.removeAttribute("aria-activedescendant");
    said.textContent = !query ? "" : found.length === 1 ? "1 page found" : found.length ? found.length + " pages found" : "Nothing found. Try fewer letters, or A to Z.";
    said.classList.toggle("find__status--none", Boolean(query) && !found.length);
  }

  function move(step) {
    if (!found.length) { return; }
    const items = list.children;
    if (active >= 0) { items[active].setAttribute("aria-selected", "false"); }
    active = (active + step + found.length) % found.length;
    items[active].setAttribute("aria-selected", "true");
    items[active].scrollIntoView({ block: "nearest" });
    input.setAttribute("aria-activedescendant", items[active].id);
  }

  function close() {
    list.hidden = true;
    input.setAttribute("aria-expanded", "false");
  }

  input.addEventListener("focus", () => { load(() => { if (input.value) { show(); } }); });
  input.addEventListener("input", () => { load(show); });
  input.addEventListener("keydown", (event) => {
    if (event.key === "ArrowDown") { move(1); event.preventDefault(); }
    else if (event.key === "ArrowUp") { move(-1); event.preventDefault(); }
    else if (event.key === "Escape") { close(); }
    else if (event.key === "Enter" && found.length) { location.href = root + engine.entries[found[Math.max(active, 0)]][0]; event.preventDefault(); }
  });
  document.addEventListener("click", (event) => { if (!box.contains(event.target)) { close(); } });
  document.addEventListener("keydown", (event) => {
    const field = /^(INPUT|SELECT|TEXTAREA)$/.test(document.activeElement.tagName);
    if (event.key === "/" && !field) { input.focus(); event.preventDefault(); }
  });
  box.classList.add("find--ready");
  window.benchFind = { ask (query) { return ask(query).map((i) => engine.entries[i][0]); }, said (query) { return ask(query).map((i) => { const name = other_name(i, query); return name && [name[0], name[1]]; }); }, load, words, squash };
})();
