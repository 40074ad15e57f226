/* The saved sheet of a watch: reads any text that claims to be one, and writes it. Nothing that was in a file is dropped
   without a word: what this page cannot use stays in the sheet and is written again. No page, no storage. */
(function () {
  "use strict";
  const VERSION = 1, MOST = 2000000, ID = /^[a-z0-9][a-z0-9-]{0,59}$/;
  const TEXTS = { edition: 40, watch: 60, job: 300, day: 40, water: 20, note: 20000 };

  function plain(value) { return value !== null && typeof value === "object" && !Array.isArray(value); }

  function text(value, most) { return typeof value === "string" ? value.slice(0, most) : typeof value === "number" && isFinite(value) ? String(value) : ""; }

  function empty(watch, edition, day) {
    return { sheet: VERSION, edition: edition || "", watch: watch || "", job: "", day: day || "", owner: [], water: "none", parts: {}, measured: [], note: "" };
  }

  /** One part as the file has it: {material, state, coating}, or null. */
  function partOf(value) {
    return plain(value) && typeof value.material === "string" && value.material.length < 61
      ? { ...value, material: value.material, state: text(value.state, 60), coating: text(value.coating, 60) } : null;
  }

  function measuredOf(value) {
    if (!plain(value) || !ID.test(text(value.part, 60)) || !ID.test(text(value.property, 60))) { return null; }
    const row = { ...value };
    ["part", "property", "unit", "value", "doubt", "readings", "instrument", "day", "by", "at"].forEach(key => { if (key in value) { row[key] = text(value[key], 200); } });
    return row.value ? row : null;
  }

  /** A sheet of version 0 had neither measurements nor the owner's life. */
  function raised(old) { return { ...old, sheet: VERSION }; }

  /** {sheet, said} from a text; `said` holds sentences for the reader; {fault} if it cannot be opened. */
  function read(given, kinds) {
    if (typeof given !== "string" || given.length > MOST) { return { fault: "This file is too large to be a sheet. Nothing was opened." }; }
    let found;
    try { found = JSON.parse(given.replace(/^\ufeff/, "")); } catch (error) { return { fault: "This file is damaged or no sheet: it cannot be read. Nothing was opened and the file is as it was." }; }
    if (!plain(found) || typeof found.sheet !== "number" || typeof found.watch !== "string") { return { fault: "This is not a watch sheet. Nothing was opened." }; }
    if (found.sheet > VERSION) { return { fault: "This sheet was saved by a newer edition of these pages. Open it there; it was left as it is." }; }
    if (!kinds.includes(found.watch)) { return { fault: "Its kind of watch (" + found.watch.slice(0, 60) + ") is not in this edition. The file was left as it is." }; }
    const said = found.sheet < VERSION ? ["Saved by an older edition; it was brought up to this one."] : [], old = found.sheet < VERSION ? raised(found) : found;
    const sheet = { ...old, ...empty() }, odd = [];
    Object.keys(TEXTS).forEach(key => { sheet[key] = text(old[key], TEXTS[key]); });
    sheet.owner = Array.isArray(old.owner) ? [...new Set(old.owner.filter(id => typeof id === "string" && ID.test(id)))] : [];
    sheet.parts = {};
    Object.keys(plain(old.parts) ? old.parts : {}).forEach(key => {
      const part = ID.test(key) ? partOf(old.parts[key]) : null;
      if (part) { sheet.parts[key] = part; } else { odd.push("the part " + key.slice(0, 40)); }
    });
    const rows = Array.isArray(old.measured) ? old.measured : [];
    sheet.measured = rows.map(measuredOf).filter(Boolean);
    if (sheet.measured.length < rows.length) { odd.push(rows.length - sheet.measured.length + " measurements"); }
    if (odd.length) {
      sheet.unread = [...(Array.isArray(old.unread) ? old.unread : []), { parts: old.parts, measured: old.measured }].slice(-3);
      said.push("Could not be read, and is kept in the sheet as it was: " + odd.slice(0, 5).join(", ") + ".");
    }
    return { sheet, said };
  }

  /** The file: one plain text, the same for the same sheet. */
  function write(sheet) { return JSON.stringify(sheet, null, 1) + "\n"; }

  /** A file name that every system bears: day, kind and job. */
  function fileName(sheet) {
    const job = sheet.job.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "").slice(0, 40);
    return [sheet.day, sheet.watch, job].filter(Boolean).join("_") + ".json";
  }

  globalThis.benchSheet = { empty, read, write, fileName, VERSION };
})();
