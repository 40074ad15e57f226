/* The find box. Its search (find-words.js, find-meant.js, find-search.js) and index (find-index.js) are loaded when it is first used, so that a page that is only
   read pays nothing. The names in another language come when the device is set to it, or when a word is typed that the index does not
   know: at once where it is no beginning of a known word either, else when the hand rests. A hit in another language says its word. */
(function () {
  "use strict";
  const box = document.querySelector(".find"), input = document.getElementById("find-input");
  const list = document.getElementById("find-list"), said = document.getElementById("find-status");
  const root = box.dataset.root.replace(/\/?$/, "/"), RESTS = 500, LEAST = 120; // ms without a letter: the word is whole; px of a list that is worth fitting
  const readers = [document.documentElement.lang].concat(navigator.languages || []).map((tag) => tag.split("-")[0]);
  let ready = false, waiting = null, resting = 0, active = -1, found = [];

  /** Loads scripts beside each other, then goes on; `failed` is told where one is missing. */
  function fetch_all(files, then, failed) {
    let left = files.length;
    if (!left) { then(); return; }
    files.forEach((file) => {
      const element = document.createElement("script");
      element.src = root + "assets/" + file + ".js";
      element.async = false; // in this order
      element.onload = () => { left -= 1; if (!left) { then(); } };
      element.onerror = failed;
      document.head.appendChild(element);
    });
  }

  function load(then) {
    if (ready) { then(); return; }
    if (waiting) { waiting.push(then); return; }
    waiting = [then];
    fetch_all(["find-words", "find-meant", "find-search", "find-index"], () => {
      benchSearch.start(window.benchFindIndex, readers);
      ready = true;
      add_languages("", () => { waiting.forEach((each) => { each(); }); });
      /* The first letters typed then find everything worked out that a question needs. */
      if (window.requestIdleCallback) { requestIdleCallback(() => { benchSearch.ask("a metl"); }); }
    }, () => {
      waiting = null; // the next letter tries again
      tell("The index of the find box could not be loaded. Use A to Z.", true);
    });
  }

  /** Loads the names that a query may ask for and that are not there yet; without them the rest is found all the same. */
  function add_languages(query, then) {
    const tags = benchSearch.missing(query);
    fetch_all(tags.map((tag) => "find-names-" + tag), () => {
      tags.forEach((tag) => { benchSearch.add(tag, window.benchFindNames[tag]); });
      then(tags.length);
    }, () => { then(0); });
  }

  function typed() {
    const query = input.value.trim();
    show();
    clearTimeout(resting);
    if (benchSearch.missing(query).length) {
      const more = () => { add_languages(query, (came) => { if (came) { show(); } }); };
      if (benchSearch.strange_words(query) === "half") { resting = setTimeout(more, RESTS); } else { more(); }
    }
  }

  function tell(text, alarm) {
    said.textContent = text;
    said.classList.toggle("find__status--none", alarm);
  }

  function show() {
    const query = input.value.trim();
    found = query ? benchSearch.ask(query) : [];
    list.replaceChildren(...found.map((i, place) => row(i, place, query)));
    if (found.length) { open(); } else { close(); }
    tell(!query ? "" : found.length === 1 ? "1 page found" : found.length ? found.length + " pages found" : "Nothing found. Try fewer letters, or A to Z.",
      Boolean(query) && !found.length);
  }

  function row(i, place, query) {
    const entry = benchSearch.entry(i), item = document.createElement("li"), link = document.createElement("a");
    item.id = "find-" + place;
    item.setAttribute("role", "option");
    item.setAttribute("aria-selected", "false");
    link.href = root + entry.address + benchSearch.place_on(i, query);
    link.tabIndex = -1;
    link.append(text_in("strong", entry.title), text_in("span", entry.kind, "find__kind"), ...own_word(i, query), text_in("small", entry.summary));
    if (entry.drawn) { link.prepend(picture(entry)); link.className = "find__drawn"; }
    item.append(link);
    return item;
  }

  function text_in(tag, text, name) {
    const element = document.createElement(tag);
    element.textContent = text;
    if (name) { element.className = name; }
    return element;
  }

  /** The word of another language that a hit answers to. */
  function own_word(i, query) {
    const other = benchSearch.other_name(i, query);
    if (!other) { return []; }
    const word = text_in("small", other.name + " (" + other.language + ")", "find__word");
    word.lang = other.tag;
    return [word];
  }

  function picture(entry) {
    const image = new Image(44, 44);
    image.src = root + "assets/drawings/" + entry.address.replace(".html", ".svg");
    image.alt = "";
    image.className = "find__picture";
    return image;
  }

  function open() {
    choose_none();
    list.hidden = false;
    list.scrollTop = 0;
    input.setAttribute("aria-expanded", "true");
    fit();
  }

  function choose_none() {
    active = -1;
    input.removeAttribute("aria-activedescendant");
    Array.from(list.children).forEach((item) => { item.setAttribute("aria-selected", "false"); });
  }

  /** The list ends above the keyboard of a phone, so that its last hit can be reached. */
  function fit() {
    if (list.hidden || !window.visualViewport) { return; }
    const seen = window.visualViewport, room = seen.offsetTop + seen.height - list.getBoundingClientRect().top;
    list.style.maxHeight = room > LEAST ? Math.floor(Math.min(room - 8, 0.7 * innerHeight)) + "px" : "";
  }

  function move(step) {
    if (!found.length) { return; }
    if (list.hidden) { open(); }
    const items = list.children;
    if (active >= 0) { items[active].setAttribute("aria-selected", "false"); }
    active = active < 0 && step < 0 ? found.length - 1 : (active + step + found.length) % found.length;
    items[active].setAttribute("aria-selected", "true");
    items[active].scrollIntoView({ block: "nearest" });
    input.setAttribute("aria-activedescendant", items[active].id);
  }

  function close() {
    choose_none();
    list.hidden = true;
    input.setAttribute("aria-expanded", "false");
  }

  function key(event) {
    if (event.key === "ArrowDown") { move(1); event.preventDefault(); }
    else if (event.key === "ArrowUp") { move(-1); event.preventDefault(); }
    else if (event.key === "Escape" && !list.hidden) { close(); event.preventDefault(); } // the next one empties the box
    else if (event.key === "Tab") { close(); }
    else if (event.key === "Enter" && !list.hidden) { location.href = list.children[Math.max(active, 0)].firstChild.href; event.preventDefault(); }
  }

  input.addEventListener("focus", () => { load(() => { if (input.value) { typed(); } }); });
  input.addEventListener("input", () => { load(typed); });
  input.addEventListener("keydown", key);
  if (window.visualViewport) { visualViewport.addEventListener("resize", fit); }
  document.addEventListener("click", (event) => { if (!box.contains(event.target)) { close(); } });
  document.addEventListener("keydown", (event) => {
    const field = /^(INPUT|SELECT|TEXTAREA)$/.test(document.activeElement.tagName);
    if (event.key === "/" && !field) { input.focus(); event.preventDefault(); }
  });
  box.classList.add("find--ready");
  window.benchFind = { load };
})();
