/* The owner's leaflet. Receives the sentences from assets/leaflet-data.js and the choices from the form; hands on one page
   to print. Keeps nothing and sends nothing. */
(function () {
  "use strict";
  var form = document.querySelector("form[data-leaflet]"), data = window.benchLeaflet;
  if (!form || !data) { return; }
  var leaflet = document.querySelector(".leaflet"), chosen = leaflet.querySelector(".leaflet__chosen"), said = form.querySelector(".calc__said");
  /* What one A5 page holds: a class of the style sheet, the letters in its line, the lines on its page. The small sizes have two columns. */
  var SIZES = [["", 74, 44], ["leaflet--small", 37, 108], ["leaflet--smallest", 43, 128]];

  function element(tag, text) {
    var made = document.createElement(tag);
    if (text) { made.textContent = text; }
    return made;
  }

  /** The materials chosen, each once: [label of the field, material]. */
  function materials() {
    return Array.prototype.filter.call(form.querySelectorAll("select"), function (s) { return data.materials[s.value]; }).map(function (s) {
      return [s.previousElementSibling.textContent, data.materials[s.value]];
    });
  }

  /** The blocks of the leaflet: [heading, sentences]; no sentence stands twice. */
  function blocks() {
    var seen = {}, made = materials(), found = [], plated = form.elements.plating && form.elements.plating.value;
    /* A plated case shows its plating to the world; what lies below is judged only where it is bare. */
    var skins = made.filter(function (pair) { return !(plated && pair[0] === "Case"); });
    function once(line) {
      var fresh = !seen[line];
      seen[line] = true;
      return fresh;
    }
    made.forEach(function (pair) {
      found.push([pair[0] + ": " + pair[1][0], pair[1][1].filter(once)]);
    });
    form.querySelectorAll("input[name=does]:checked").forEach(function (box) {
      var activity = data.activities[+box.value], lines = [], needs = data.water[box.value];
      if (needs && +form.elements.water.value < needs[0]) {
        found.push([box.parentNode.textContent.trim(), [needs[1]].filter(once)]);
        return;
      }
      activity[1].forEach(function (hazard) {
        lines = lines.concat(data.hazards[hazard].filter(once));
        [4, 3].forEach(function (verdict) {
          var hit = skins.filter(function (pair) { return +pair[1][2][hazard] === verdict; }).map(function (pair) { return pair[1][0]; });
          var line = data.verdicts[verdict] + ": " + hit.join(", ") + ".";
          if (hit.length && lines.indexOf(line) < 0) { lines.push(line); }
        });
      });
      if (lines.length) { found.push([box.parentNode.textContent.trim(), lines]); }
    });
    return found;
  }

  /** The lines that text takes at so many letters a line. */
  function lines(found, letters) {
    var count = 2;
    leaflet.querySelectorAll(":scope > ul li").forEach(function (li) { count += Math.ceil(li.textContent.length / letters); });
    found.forEach(function (block) {
      count += 1.6;
      block[1].forEach(function (line) { count += Math.ceil(line.length / letters); });
    });
    return count;
  }

  function update() {
    var found = blocks();
    chosen.textContent = "";
    found.forEach(function (block) {
      chosen.append(element("h3", block[0]));
      var list = element("ul");
      block[1].forEach(function (line) { list.append(element("li", line)); });
      if (block[1].length) { chosen.append(list); }
    });
    var size = SIZES.filter(function (s) { return lines(found, s[1]) <= s[2]; })[0];
    SIZES.forEach(function (s) { if (s[0]) { leaflet.classList.toggle(s[0], s === (size || SIZES[SIZES.length - 1])); } });
    said.textContent = size ? "Fits one A5 page." : "More than one A5 page holds: leave something out.";
  }

  form.addEventListener("input", update);
  form.addEventListener("reset", function () { setTimeout(update, 0); });
  form.addEventListener("submit", function (event) { event.preventDefault(); });
  form.querySelector("[data-print]").addEventListener("click", function () { window.print(); });
  form.hidden = false;
  document.body.classList.add("has-leaflet");
  update();
})();
