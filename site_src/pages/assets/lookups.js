/* Look-ups in published tables: hardness of steels in other scales, and the tempering temperature for a wanted hardness.
   Straight lines between printed rows, never beyond them. The Python twins are generator/numbers/hardness.py and tempering.py. */
(function () {
  "use strict";
  const SHOWN = [["HV", "HV", 0], ["HRC", "HRC", 1], ["HRB", "HRB", 0], ["HBW", "HBW", 0], ["Rm", "MPa tensile strength", 0]];
  const NBSP = "\u00a0";

  /** Linear between two rows of [x, y] in rising x; null outside. */
  function interpolate(points, x) {
    for (let i = 0; i + 1 < points.length; i++) {
      const [a, b] = [points[i], points[i + 1]];
      if (a[0] <= x && x <= b[0]) { return b[0] === a[0] ? a[1] : a[1] + (b[1] - a[1]) * (x - a[0]) / (b[0] - a[0]); }
    }
    return null;
  }

  /** A hardness in every other scale that the tables reach: {scale: value}. */
  function hardness(tables, scale, value) {
    const found = {};
    tables.forEach((rows) => SHOWN.map((row) => row[0]).filter((other) => other !== scale && !(other in found)).forEach((other) => {
      const points = rows.filter((r) => r[scale] !== undefined && r[other] !== undefined)
        .map((r) => [r[scale], r[other]]).sort((a, b) => a[0] - b[0] || a[1] - b[1]);
      const at = interpolate(points, value);
      if (at !== null) { found[other] = at; }
    }));
    return found;
  }

  /** The part of the line from one point to the next between two hardnesses: [from, to], or null. */
  function inside(a, b, low, high) {
    const soft = Math.min(a[1], b[1]), hard = Math.max(a[1], b[1]);
    if (high < soft || hard < low) { return null; }
    if (soft === hard) { return [a[0], b[0]]; }
    return [low, high].map((h) => a[0] + (Math.min(Math.max(h, soft), hard) - a[1]) / (b[1] - a[1]) * (b[0] - a[0])).sort((x, y) => x - y);
  }

  /** The spans of temperature in which a curve lies between two hardnesses, rising. */
  function tempering(points, low, high) {
    const found = [];
    points.slice(1).forEach((b, i) => {
      const span = inside(points[i], b, low, high), last = found[found.length - 1];
      if (span && last && span[0] <= last[1]) { last[1] = span[1]; } else if (span) { found.push(span); }
    });
    return found;
  }

  /** Two ends as text; an end that was typed open is null. */
  function about(low, high) {
    if (low === null || high === null) { return low === null ? "at most about" + NBSP + high : "at least about" + NBSP + low; }
    return "about" + NBSP + low + (low === high ? "" : NBSP + "to" + NBSP + high);
  }

  globalThis.benchLookups = { hardness, tempering };
  const form = typeof document === "undefined" ? null : document.querySelector("form[data-lookup]");
  if (!form) { return; }
  const table = JSON.parse(form.dataset.table), fields = form.elements, part = (name) => form.querySelector(".calc__" + name);

  function say(answer, sentence, working) {
    part("result").textContent = answer;
    part("said").textContent = sentence;
    part("working").textContent = working || "";
  }

  /** What is typed in the hardness field: [low, high] as numbers, null where open; or {fault}. */
  function typed(scale) {
    const q = benchForms.read(fields.value.value, { id: scale, unit: scale, range: ["0", "10000"], shown: "0 to 10 000", example: "60" });
    return q.fault ? q : [q.low, q.high].map((end) => end && end.toNumber());
  }

  function updateHardness() {
    if (fields.metal.value !== "steel") {
      say("", "Not converted: the tables hold for carbon, tool and hardenable stainless steels only. For other metals use the scale of the source.");
      return;
    }
    const scale = fields.scale.value, ends = typed(scale);
    if (ends.fault) { say("", "Hardness: " + ends.fault + "."); return; }
    const found = ends.map((end) => (end === null ? null : hardness(table.rows, scale, end))), both = found.filter(Boolean);
    const words = SHOWN.filter(([other]) => both.every((f) => other in f)).map(([other, label, places]) =>
      about(...found.map((f) => f && f[other].toFixed(places))) + NBSP + label);
    if (!words.length) { say("", "The tables do not reach " + [...new Set(ends.filter((end) => end !== null))].join(" to ") + " " + scale + "."); return; }
    say(words.join(", "), "", "Read between the rows of the table below. A conversion is an estimate, not a test.");
  }

  function updateTempering() {
    const curve = table.curves[+fields.curve.value], unit = form.querySelector(".unit");
    /* A number typed for another scale means nothing here: begin in the middle of the curve. */
    if (unit.textContent !== curve.unit) { fields.value.value = String(Math.round((curve.low + curve.high) / 2)); }
    unit.textContent = curve.unit;
    const ends = typed(curve.unit);
    if (ends.fault) { say("", "Hardness wanted: " + ends.fault + "."); return; }
    const found = tempering(curve.points, ends[0] === null ? -Infinity : ends[0], ends[1] === null ? Infinity : ends[1]);
    if (!found.length) {
      say("", "This curve runs from " + curve.low + " to " + curve.high + " " + curve.unit + "; " + fields.value.value.trim() + " is not on it.");
      return;
    }
    const seen = (c) => found.some(([from, to]) => c[1] <= to && from <= c[2]);
    const colours = curve.plain ? table.colours.filter(seen).map((c) => c[0]) : [], five = (t) => String(Math.round(t / 5) * 5);
    say(found.map(([from, to]) => about(five(from), five(to)) + NBSP + "\u00b0C").join(" or "),
        colours.length ? "Colour after a few minutes: " + colours.join(" or ") + ". Colour depends on time: trust oven and clock." : "Do not go by colour on this steel.",
        curve.text);
  }

  const update = form.dataset.lookup === "hardness" ? updateHardness : updateTempering;
  form.addEventListener("input", update);
  form.addEventListener("submit", (event) => event.preventDefault());
  form.hidden = false;
  update();
})();
