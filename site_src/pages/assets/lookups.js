/* Look-ups in published tables: hardness of steels in other scales, and the tempering temperature for a wanted hardness.
   Straight lines between printed rows, never beyond them. The Python twins are generator/numbers/hardness.py and tempering.py. */
(function () {
  "use strict";

  /** Linear between two rows of [x, y] in rising x; null outside. */
  function interpolate(points, x) {
    for (var i = 0; i + 1 < points.length; i++) {
      var a = points[i], b = points[i + 1];
      if (a[0] <= x && x <= b[0]) { return b[0] === a[0] ? a[1] : a[1] + (b[1] - a[1]) * (x - a[0]) / (b[0] - a[0]); }
    }
    return null;
  }

  function hardness(tables, scale, value) {
    var found = {};
    tables.forEach(function (rows) {
      ["HV", "HRC", "HRB", "HBW", "Rm"].forEach(function (other) {
        if (other === scale || other in found) { return; }
        var points = rows.filter(function (r) { return r[scale] !== undefined && r[other] !== undefined; })
          .map(function (r) { return [r[scale], r[other]]; }).sort(function (a, b) { return a[0] - b[0] || a[1] - b[1]; });
        var at = interpolate(points, value);
        if (at !== null) { found[other] = at; }
      });
    });
    return found;
  }

  function tempering(points, wanted) {
    var found = [];
    for (var i = 0; i + 1 < points.length; i++) {
      var a = points[i], b = points[i + 1], low = Math.min(a[1], b[1]), high = Math.max(a[1], b[1]);
      if (low <= wanted && wanted <= high) {
        var at = a[0] + (b[1] === a[1] ? 0 : (wanted - a[1]) / (b[1] - a[1]) * (b[0] - a[0]));
        if (!found.length || at !== found[found.length - 1]) { found.push(at); }
      }
    }
    return found;
  }

  window.benchLookups = { hardness: hardness, tempering: tempering };

  var form = document.querySelector("form[data-lookup]");
  if (!form) { return; }
  var table = JSON.parse(form.dataset.table), result = form.querySelector(".calc__result"), said = form.querySelector(".calc__said");
  var work = form.querySelector(".calc__working");

  function number(field) {
    var text = benchForms.one(field.value.replace(/\s*(HV|HRC|HRB|HBW|MPa|\u00b0C)$/i, ""));
    return text && !text.ask && +text >= 0 && +text < 10000 ? +text : null;
  }

  function say(answer, sentence, working) {
    result.textContent = answer;
    said.textContent = sentence;
    work.textContent = working || "";
  }

  function updateHardness() {
    if (form.elements.metal.value !== "steel") {
      say("", "Not converted: the tables hold for carbon, tool and hardenable stainless steels only. For other metals use the scale of the source.");
      return;
    }
    var value = number(form.elements.value), scale = form.elements.scale.value;
    if (value === null) { say("", "Type the hardness, such as 60."); return; }
    var found = hardness(table.rows, scale, value), words = [];
    [["HV", "HV", 0], ["HRC", "HRC", 1], ["HRB", "HRB", 0], ["HBW", "HBW", 0], ["Rm", "MPa tensile strength", 0]].forEach(function (row) {
      if (row[0] in found) { words.push("about\u00a0" + found[row[0]].toFixed(row[2]) + "\u00a0" + row[1]); }
    });
    if (!words.length) { say("", "The tables do not reach " + value + " " + scale + "."); return; }
    say(words.join(", "), "", "Read between the rows of the table below. A conversion is an estimate, not a test.");
  }

  function updateTempering() {
    var curve = table.curves[+form.elements.curve.value], wanted = number(form.elements.value);
    var unit = form.querySelector(".unit");
    /* A number typed for another scale means nothing here: begin in the middle of the curve. */
    if (unit.textContent !== curve.unit) { form.elements.value.value = String(Math.round((curve.low + curve.high) / 2)); wanted = +form.elements.value.value; }
    unit.textContent = curve.unit;
    if (wanted === null) { say("", "Type the hardness you want, such as 60."); return; }
    var found = tempering(curve.points, wanted);
    if (!found.length) { say("", "This curve runs from " + curve.low + " to " + curve.high + " " + curve.unit + "; " + wanted + " is not on it."); return; }
    var colours = curve.plain ? table.colours.filter(function (c) { return found.some(function (t) { return c[1] <= t && t <= c[2]; }); }).map(function (c) { return c[0]; }) : [];
    say(found.map(function (t) { return "about\u00a0" + Math.round(t / 5) * 5 + "\u00a0\u00b0C"; }).join(" or "),
        colours.length ? "Colour after a few minutes: " + colours.join(" or ") + ". Colour depends on time: trust oven and clock." : "Do not go by colour on this steel.",
        curve.text);
  }

  var update = form.dataset.lookup === "hardness" ? updateHardness : updateTempering;
  form.addEventListener("input", update);
  form.addEventListener("submit", function (event) { event.preventDefault(); });
  form.hidden = false;
  update();
})();
