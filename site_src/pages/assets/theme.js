/* The frame of every page: light or dark and the size of type, kept on the device; the menu; the pages opened last; folded text
   that opens where a link leads into it and on paper. It stands in the place of the theme's own script. */
(() => {
  "use strict";
  const MOST = 6;

  /** What the device keeps; null where it keeps nothing or may not. */
  const kept = name => { try { return localStorage.getItem(`bench.${name}`); } catch { return null; } };
  const keep = (name, value) => { try { localStorage.setItem(`bench.${name}`, value); } catch { /* then for this page only */ } };

  /* Light or dark: as the device is set, unless somebody chose. */
  const device = matchMedia("(prefers-color-scheme: dark)");
  const choices = document.querySelector(".menu__choices");
  let look = kept("look") || "", type = kept("type") || "";
  function show() {
    const dark = look ? look === "dark" : device.matches;
    document.body.setAttribute("data-md-color-scheme", dark ? "slate" : "default");
    document.documentElement.classList.toggle("bench-type", type === "bench");
    choices.querySelectorAll("button").forEach(button => {
      const chosen = "look" in button.dataset ? button.dataset.look === look : button.dataset.type === type;
      button.setAttribute("aria-pressed", String(chosen));
    });
  }
  choices.hidden = false;
  choices.addEventListener("click", event => {
    const button = event.target.closest("button");
    if (!button) { return; }
    if ("look" in button.dataset) { keep("look", look = button.dataset.look); } else { keep("type", type = button.dataset.type); }
    show();
  });
  device.addEventListener("change", show);
  show();

  /* The menu shuts by Escape and by a tap beside it. */
  const menu = document.querySelector(".menu");
  document.addEventListener("keydown", event => {
    if (event.key === "Escape" && menu.open) { menu.open = false; menu.querySelector("summary").focus(); }
  });
  document.addEventListener("click", event => { if (menu.open && !menu.contains(event.target)) { menu.open = false; } });

  /* The theme skips to the first section; the answer stands before it. */
  const skip = document.querySelector(".md-skip"), article = document.querySelector(".md-content__inner");
  if (skip && article) {
    article.id = article.id || "content";
    article.tabIndex = -1;
    skip.hash = article.id;
  }

  /* The pages opened last, shown on the start page. */
  const home = document.querySelector(".topbar__home"), last = document.getElementById("last");
  const root = home.href.replace(/index\.html$/, ""), here = location.href.slice(root.length).replace(/[?#].*$/, "");
  let opened = [];
  try { opened = JSON.parse(kept("opened")).filter(one => Array.isArray(one) && one.length === 2); } catch { opened = []; }
  if (last && opened.length) {
    last.querySelector("ul").replaceChildren(...opened.map(([address, title]) => {
      const item = document.createElement("li"), link = document.createElement("a");
      link.href = root + address;
      link.textContent = title;
      item.append(link);
      return item;
    }));
    last.hidden = false;
  } else if (!last && location.href.startsWith(root)) {
    const title = document.title.slice(0, document.title.lastIndexOf(" - "));
    keep("opened", JSON.stringify([[here, title], ...opened.filter(one => one[0] !== here)].slice(0, MOST)));
  }

  /** Open what is folded around the place that the address names, and go there again while what lies above it is being laid out. */
  function arrive(back) {
    const target = location.hash && document.getElementById(location.hash.slice(1));
    if (!target) { return; }
    let folded = target.closest("details:not([open])");
    for (; folded; folded = folded.parentElement.closest("details:not([open])")) { folded.open = true; }
    const again = left => { target.scrollIntoView(); if (left) { requestAnimationFrame(() => again(left - 1)); } };
    if (!back) { again(3); }
  }
  window.addEventListener("hashchange", () => arrive(false));
  arrive(performance.getEntriesByType("navigation")[0]?.type === "back_forward");

  let folded = [];
  window.addEventListener("beforeprint", () => {
    folded = [...document.querySelectorAll(".md-content details:not([open])")];
    folded.forEach(each => { each.open = true; });
  });
  window.addEventListener("afterprint", () => folded.forEach(each => { each.open = false; }));
})();
