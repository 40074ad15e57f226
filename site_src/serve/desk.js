// Only while `serve` runs: loads the page again when it says something else, and shows what is wrong in a banner.
// The page's policy lets scripts of this server load and nothing else, so the state comes as a script.
(function () {
  "use strict";
  const mine = document.currentScript, mark = mine.getAttribute("data-mark");
  const told = mine.getAttribute("data-told");
  let banner = null, shown = "";

  window.benchDesk = function (state) {
    if (told === null ? state.mark !== mark : String(state.told) !== told) {
      location.reload();
      return;
    }
    link(state.effects);
    const now = JSON.stringify(state.faults);
    if (now !== shown) {
      shown = now;
      show(state.faults);
    }
  };

  function add(parent, name, text) {
    const element = document.createElement(name);
    if (text) element.textContent = text;
    parent.appendChild(element);
    return element;
  }

  // The way to what the edits change, at the foot of every page.
  function link(effects) {
    const old = document.getElementById("desk-effects");
    if (old) old.remove();
    if (!effects) return;
    const to = add(document.body, "a", "What your edits change: " + effects);
    to.id = "desk-effects";
    to.href = "/.desk/effects.html";
    to.style.cssText = "position:fixed;right:.5rem;bottom:.5rem;z-index:98;padding:.4rem .8rem;" +
      "background:#123a5c;color:#fff;font:15px sans-serif;border-radius:4px";
  }

  function show(faults) {
    if (banner) banner.remove();
    banner = null;
    if (!faults.length) return;
    banner = document.createElement("section");
    banner.id = "desk-faults";
    banner.setAttribute("role", "alert");
    const style = banner.style;
    style.cssText = "position:sticky;top:0;z-index:99;max-height:45vh;overflow:auto;padding:.6rem 1rem;" +
      "background:#7a1010;color:#fff;font:16px/1.45 sans-serif;border-bottom:3px solid #fff";
    const head = faults.length === 1 ? "One fault" : faults.length + " faults";
    add(banner, "strong", head + ". This page shows the last good state.");
    const list = add(banner, "ul");
    list.style.margin = ".3rem 0 0";
    faults.slice(0, 50).forEach((fault) => {
      const item = add(list, "li");
      if (fault[0]) add(item, "code", fault[0]).style.cssText = "background:none;color:inherit";
      add(item, "span", (fault[0] ? ": " : "") + fault[1]);
      if (fault[2]) add(item, "em", " " + fault[2] + ".").style.display = "block";
    });
    document.body.insertBefore(banner, document.body.firstChild);
  }

  function ask() {
    const script = document.createElement("script");
    script.src = "/.desk/state.js?" + encodeURIComponent(location.pathname) + "&" + Date.now();
    script.onload = script.onerror = function () {
      script.remove();
      setTimeout(ask, document.hidden ? 3000 : 500);
    };
    document.head.appendChild(script);
  }

  ask();
})();
