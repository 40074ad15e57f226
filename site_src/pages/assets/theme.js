/* The frame of every page: light or dark, kept for the next page; the menu; folded text that opens where a link leads into it
   and on paper. It stands in the place of the theme's own script, which is large and lays out every page four times. */
(function () {
  "use strict";
  var palettes = Array.prototype.slice.call(document.querySelectorAll("input[name=__palette]"));
  var drawer = document.getElementById("__drawer");

  /** Show a palette, keep the choice, and offer the other one. */
  function choose(input, keep) {
    var colour = {};
    ["media", "scheme", "primary", "accent"].forEach(function (name) {
      colour[name] = input.getAttribute("data-md-color-" + name);
      if (keep) { document.body.setAttribute("data-md-color-" + name, colour[name]); }
    });
    palettes.forEach(function (each) { each.nextElementSibling.hidden = each !== input; });
    input.checked = true;
    if (keep) { __md_set("__palette", { index: palettes.indexOf(input), color: colour }); }
  }

  palettes.forEach(function (input, i) {
    input.addEventListener("change", function () { choose(input, true); });
    input.addEventListener("keydown", function (event) {
      if (event.key !== "Enter" && event.key !== " ") { return; }
      var other = palettes[(i + 1) % palettes.length];
      choose(other, true);
      other.focus();
      event.preventDefault();
    });
  });
  palettes.filter(function (input) {
    return input.getAttribute("data-md-color-scheme") === document.body.getAttribute("data-md-color-scheme");
  }).slice(0, 1).forEach(function (input) { choose(input, false); });

  /* The theme skips to the first section; the answer stands before it. */
  var skip = document.querySelector(".md-skip"), article = document.querySelector(".md-content__inner");
  if (skip && article) {
    article.id = article.id || "content";
    article.tabIndex = -1;
    skip.hash = article.id;
  }

  /* The theme's menu is opened by a label, which no keyboard reaches. */
  var label = document.querySelector("label.md-header__button[for=__drawer]");
  if (label && drawer) {
    var button = document.createElement("button");
    button.type = "button";
    button.className = label.className + " menu";
    button.setAttribute("aria-label", "Menu");
    button.append.apply(button, label.childNodes);
    label.replaceWith(button);
    var said = function () { button.setAttribute("aria-expanded", String(drawer.checked)); };
    button.addEventListener("click", function () { drawer.click(); });
    drawer.addEventListener("change", said);
    document.addEventListener("keydown", function (event) {
      if (event.key === "Escape" && drawer.checked) { drawer.click(); button.focus(); }
    });
    said();
  }

  /** Open what is folded around the place that the address names. */
  function unfold() {
    var target = location.hash && document.getElementById(location.hash.slice(1));
    var folded = target && target.parentElement.closest("details:not([open])");
    if (!folded) { return; }
    folded.open = true;
    target.scrollIntoView();
  }
  window.addEventListener("hashchange", unfold);
  unfold();

  var opened = [];
  window.addEventListener("beforeprint", function () {
    opened = Array.prototype.slice.call(document.querySelectorAll("details:not([open])"));
    opened.forEach(function (each) { each.open = true; });
  });
  window.addEventListener("afterprint", function () { opened.forEach(function (each) { each.open = false; }); });
})();
