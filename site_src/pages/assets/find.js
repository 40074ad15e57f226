/* The find box. The index (assets/find-index.js) is loaded when the box is first used or the page is idle.
   A query is tried as a whole name first (exact, then half typed), then word by word with room for misspelling. */
(function () {
  "use strict";
  var box = document.querySelector(".find"), input = document.getElementById("find-input");
  var list = document.getElementById("find-list"), said = document.getElementById("find-status");
  var root = box.dataset.root.replace(/\/?$/, "/"), engine = null, waiting = null, active = -1, found = [];

  /** Letters and digits only: `X2 CrNiMo 17-12-2` and `1,4404` lose what people type differently. */
  function squash(text) { return text.toLowerCase().normalize("NFKD").replace(/[^a-z0-9]/g, ""); }

  function words(text) {
    return text.toLowerCase().normalize("NFKD").replace(/[\u0300-\u036f]/g, "").replace(/(\d)[.,](?=\d)/g, "$1").split(/[^a-z0-9]+/).filter(Boolean).map(stem);
  }

  /** Demagnetize, demagnetise and demagnetising are one word. */
  function stem(word) { return word.length < 6 ? word : word.replace(/iz(?=(e|ed|ing|ation)$)/, "is").replace(/(ing|ed|es|e|s)$/, ""); }

  function load(then) {
    if (engine) { then(); return; }
    if (waiting) { waiting.push(then); return; }
    waiting = [then];
    script("assets/vendor/minisearch.js", function () {
      script("assets/find-index.js", function () {
        build();
        waiting.forEach(function (each) { each(); });
      });
    });
  }

  function script(address, then) {
    var element = document.createElement("script");
    element.src = root + address;
    element.onload = then;
    document.head.appendChild(element);
  }

  /* Entries: [address, title, kind, summary, names, rank]; names are all spellings that stand for the page. */
  function build() {
    var entries = window.benchFindIndex, exact = {}, spellings = [];
    var search = new MiniSearch({ fields: ["title", "names", "summary"], tokenize: words, processTerm: function (term) { return term; } });
    entries.forEach(function (entry, i) {
      [entry[1]].concat(entry[4]).forEach(function (name) {
        var key = squash(name);
        (exact[key] = exact[key] || []).push(i);
        spellings.push([key, i]);
      });
      search.add({ id: i, title: entry[1], names: entry[4].join(" "), summary: entry[3] });
    });
    spellings.sort(function (a, b) { return a[0] < b[0] ? -1 : a[0] > b[0] ? 1 : 0; });
    engine = { entries: entries, exact: exact, spellings: spellings, search: search };
  }

  /** Indexes of entries, best first. */
  function ask(query) {
    var key = squash(query), scores = {}, asked = words(query);
    if (!key) { return []; }
    function give(i, score) { scores[i] = Math.max(scores[i] || 0, score + engine.entries[i][5] / 100); }
    (engine.exact[key] || []).forEach(function (i) { give(i, 3000); });
    engine.spellings.forEach(function (pair) {
      if (pair[0].length > key.length && pair[0].lastIndexOf(key, 0) === 0) { give(pair[1], 2000 - (pair[0].length - key.length)); }
    });
    var options = {
      combineWith: "AND", prefix: function (term) { return term.length > 1; },
      fuzzy: function (term) { return /\d/.test(term) ? false : term.length > 7 ? 2 : term.length > 3 ? 1 : false; },
      boost: { title: 4, names: 3, summary: 1 }, weights: { fuzzy: 0.35, prefix: 0.6 }
    };
    var hits = engine.search.search(query, options);
    if (!hits.length && asked.length > 1) { options.combineWith = "OR"; hits = engine.search.search(query, options); }
    var best = hits.length ? hits[0].score : 1;
    hits.forEach(function (hit) { give(hit.id, 1000 * hit.score / best); });
    return Object.keys(scores).map(Number).sort(function (a, b) { return scores[b] - scores[a] || a - b; }).slice(0, 12);
  }

  function show() {
    var query = input.value.trim();
    found = query ? ask(query) : [];
    list.textContent = "";
    active = -1;
    found.forEach(function (i, place) {
      var entry = engine.entries[i], item = document.createElement("li"), link = document.createElement("a");
      var title = document.createElement("strong"), kind = document.createElement("span"), text = document.createElement("small");
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
    var items = list.children;
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

  input.addEventListener("focus", function () { load(function () { if (input.value) { show(); } }); });
  input.addEventListener("input", function () { load(show); });
  input.addEventListener("keydown", function (event) {
    if (event.key === "ArrowDown") { move(1); event.preventDefault(); }
    else if (event.key === "ArrowUp") { move(-1); event.preventDefault(); }
    else if (event.key === "Escape") { close(); }
    else if (event.key === "Enter" && found.length) { location.href = root + engine.entries[found[Math.max(active, 0)]][0]; event.preventDefault(); }
  });
  document.addEventListener("click", function (event) { if (!box.contains(event.target)) { close(); } });
  document.addEventListener("keydown", function (event) {
    var field = /^(INPUT|SELECT|TEXTAREA)$/.test(document.activeElement.tagName);
    if (event.key === "/" && !field) { input.focus(); event.preventDefault(); }
  });
  (window.requestIdleCallback || function (f) { setTimeout(f, 1500); })(function () { load(function () {}); }, { timeout: 4000 });
  box.classList.add("find--ready");
  window.benchFind = { ask: function (query) { return ask(query).map(function (i) { return engine.entries[i][0]; }); }, load: load };
})();
