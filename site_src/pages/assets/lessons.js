/* The trainee's questions. Answers change their places; how sure one is can be said before; what is missed comes back after
   1, 3, 7 and 21 days, what was missed for sure first. Kept on this device only; where the browser keeps nothing, the page itself lists what was missed. */
(function () {
  "use strict";
  const DAYS = [1, 3, 7, 21];

  /** A day as 2026-01-31, so many days after another. */
  function dayAfter(day, days) {
    const at = new Date(day + "T12:00:00Z");
    at.setUTCDate(at.getUTCDate() + days);
    return at.toISOString().slice(0, 10);
  }

  /** What is kept of a question after an answer: {first, step, due}. Missed, it comes back on the days of DAYS counted from
      today; right on its day or later, it waits for the next, as many days on as lie between the two; after the last it is
      done (due ""). Right before its day changes nothing. */
  function after(kept, right, today) {
    const first = kept ? kept.first : right;
    if (!right) { return { first, step: 0, due: dayAfter(today, DAYS[0]) }; }
    if (!kept || !kept.due) { return { first, step: kept ? kept.step : 0, due: "" }; }
    if (today < kept.due) { return kept; }
    const step = kept.step + 1;
    return { first, step, due: step < DAYS.length ? dayAfter(today, DAYS[step] - DAYS[step - 1]) : "" };
  }

  /** The list in another order; `random` gives numbers from 0 to 1. */
  function shuffled(list, random) {
    const mixed = list.slice();
    for (let i = mixed.length - 1; i > 0; i -= 1) {
      const j = Math.floor(random() * (i + 1));
      [mixed[i], mixed[j]] = [mixed[j], mixed[i]];
    }
    return mixed;
  }

  /** How many first answers were right among those given as sure, and among those that were not. */
  function calibration(progress) {
    const tally = { sure: { right: 0, of: 0 }, unsure: { right: 0, of: 0 } };
    Object.values(progress).forEach(kept => {
      if (typeof kept.sure !== "boolean") { return; }
      const side = kept.sure ? tally.sure : tally.unsure;
      side.of += 1;
      side.right += kept.first ? 1 : 0;
    });
    return tally;
  }

  /** By day; on one day, what was missed for sure stands first. */
  function sooner(a, b) {
    return a.due.localeCompare(b.due) || (b.sure === true) - (a.sure === true);
  }

  globalThis.benchLessons = { DAYS, dayAfter, after, shuffled, calibration, sooner };
  if (typeof document === "undefined") { return; }

  const KEY = "bench-questions", page = {};  // what this page noted, where the browser keeps nothing
  let keeps = true, printing = false;

  /* Paper opens every answer; that is no answer of the trainee. */
  window.addEventListener("beforeprint", () => { printing = true; });
  window.addEventListener("afterprint", () => setTimeout(() => { printing = false; }, 0));

  function read() {
    try { return { ...JSON.parse(localStorage.getItem(KEY)), ...page }; } catch (error) { keeps = false; return page; }
  }

  function write(progress) {
    try { localStorage.setItem(KEY, JSON.stringify(progress)); } catch (error) { keeps = false; }
  }

  function today() {
    const now = new Date();
    return new Date(Date.UTC(now.getFullYear(), now.getMonth(), now.getDate())).toISOString().slice(0, 10);
  }

  function shown(day) {
    return new Date(day + "T12:00:00").toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" });
  }

  function listMissed(asked) {
    const box = document.querySelector(".missed");
    if (!box) { return; }
    const item = document.createElement("li"), days = DAYS.map(days => shown(dayAfter(today(), days)));
    item.textContent = asked + " Again on " + days.join(", ") + ".";
    box.querySelector("ul").append(item);
    box.hidden = false;
  }

  /** Notes the first answer to a question on this page. */
  function note(question, right) {
    if (printing || question.dataset.noted) { return; }
    question.dataset.noted = "yes";
    const progress = read(), id = question.dataset.question, asked = question.querySelector("h3").textContent;
    const before = progress[id], said = question.querySelector(".sure [aria-pressed=true]");
    const sure = before ? before.sure : said ? said.dataset.sure === "yes" : undefined;
    progress[id] = { ...after(before, right, today()), asked, home: question.dataset.home, sure };
    page[id] = progress[id];
    write(progress);
    if (!right) { listMissed(asked); }
    const row = question.querySelector(".sure");
    if (row && said && said.dataset.sure === "yes" && !right) {
      row.textContent = "You were sure, and wrong. Such an answer is quickly put right but quickly slips back, so it is asked first.";
    } else if (row) { row.remove(); }
  }

  /** Asks before the answer how sure one is; nobody must say. */
  function askHowSure(question) {
    const row = document.createElement("p");
    row.className = "sure";
    row.append("Before you answer: ");
    [["yes", "I am sure"], ["no", "I guess"]].forEach(([value, words]) => {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "button";
      button.dataset.sure = value;
      button.textContent = words;
      button.setAttribute("aria-pressed", "false");
      button.addEventListener("click", () => row.querySelectorAll("button").forEach(other => {
        other.setAttribute("aria-pressed", String(other === button));
      }));
      row.append(button, " ");
    });
    question.querySelector("h3").after(row);
  }

  function choice(question) {
    const box = question.querySelector(".options");
    shuffled(Array.from(box.children), Math.random).forEach(option => box.append(option));
    box.querySelectorAll(".option").forEach(option => option.addEventListener("toggle", () => {
      if (option.open) { note(question, option.dataset.right === "yes"); }
    }));
  }

  /** Shows whether a typed or sorted answer is right, and opens the answer. */
  function tell(question, right) {
    question.querySelector(".told").textContent = right ? "Right." : "No.";
    note(question, right);
    question.querySelector(".answer").open = true;
  }

  function typed(question) {
    const form = question.querySelector(".typed");
    form.hidden = false;
    form.addEventListener("submit", event => {
      event.preventDefault();
      const number = benchForms.one(form.querySelector("input").value);
      if (number === null || number.ask) {
        question.querySelector(".told").textContent = number ? number.ask : "Type one number, such as 12.5.";
        return;
      }
      tell(question, +number >= +form.dataset.low && +number <= +form.dataset.high);
    });
  }

  function order(question) {
    const list = question.querySelector(".order"), check = question.querySelector(".order__check");
    list.querySelectorAll(".order__move").forEach(move => { move.hidden = false; });
    list.addEventListener("click", event => {
      const button = event.target.closest("[data-move]");
      if (!button) { return; }
      const item = button.closest("li");
      if (button.dataset.move === "-1" && item.previousElementSibling) { list.insertBefore(item, item.previousElementSibling); }
      if (button.dataset.move === "1" && item.nextElementSibling) { list.insertBefore(item.nextElementSibling, item); }
      button.focus();
    });
    check.hidden = false;
    check.querySelector("button").addEventListener("click", () => {
      tell(question, Array.from(list.children).every((item, place) => +item.dataset.place === place));
    });
  }

  /** An answer that is opened before anything was tried counts as missed. */
  function peeked(question) {
    const answer = question.querySelector(".answer");
    if (answer) { answer.addEventListener("toggle", () => { if (answer.open) { note(question, false); } }); }
  }

  const pool = document.querySelector(".pool");
  if (pool) { pool.innerHTML = globalThis.benchQuestions; }

  document.querySelectorAll(".question").forEach(question => {
    askHowSure(question);
    if (question.querySelector(".options")) { choice(question); }
    if (question.querySelector(".typed")) { typed(question); }
    if (question.querySelector(".order")) { order(question); }
    peeked(question);
  });

  document.querySelectorAll("[data-print]").forEach(button => {
    button.hidden = false;
    button.addEventListener("click", () => window.print());
  });

  /* The page of questions that come back */
  const again = document.querySelector(".again");
  if (again) {
    const all = Array.from(pool.querySelectorAll(".question"));
    const said = again.querySelector(".again__said"), table = again.querySelector(".again__list");

    function show(questions, words) {
      pool.textContent = "";
      questions.forEach(question => {
        const link = question.querySelector("h3 a");
        if (!link) {
          const home = document.createElement("a");
          home.href = "../" + question.dataset.home.split("#")[0] + "#" + question.dataset.question;
          home.textContent = "Its page";
          question.append(home);
        }
        pool.append(question);
      });
      said.textContent = words;
    }

    function due() {
      const progress = read(), waiting = all.filter(q => { const kept = progress[q.dataset.question]; return kept && kept.due; });
      waiting.sort((a, b) => sooner(progress[a.dataset.question], progress[b.dataset.question]));
      table.hidden = !waiting.length;
      table.tBodies[0].textContent = "";
      waiting.forEach(question => {
        const row = table.tBodies[0].insertRow(), day = progress[question.dataset.question].due;
        row.insertCell().textContent = day <= today() ? "today" : shown(day);
        row.insertCell().textContent = question.querySelector("h3").textContent;
      });
      const now = waiting.filter(q => progress[q.dataset.question].due <= today());
      show(now, now.length ? now.length + " for today." : "Nothing is due today. Ten mixed questions keep the rest fresh.");
    }

    again.querySelector("[data-show=due]").addEventListener("click", due);
    again.querySelector("[data-show=mixed]").addEventListener("click", () => {
      show(shuffled(all, Math.random).slice(0, 10), "Ten questions from all lessons and cases.");
    });
    again.hidden = false;
    due();
    again.querySelector(".again__kept").hidden = keeps;
  }

  /* The count on the page of all lessons */
  const line = document.querySelector(".progress");
  if (!line) { return; }
  function count() {
    const kept = Object.values(read()), right = kept.filter(k => k.first).length, waiting = kept.filter(k => k.due).length;
    line.hidden = !kept.length;
    const { sure, unsure } = calibration(read());
    line.querySelector(".progress__text").textContent =
      right + " of " + kept.length + " answered right first time on this device; " + waiting + " come back."
      + (sure.of ? " Sure, and right: " + sure.right + " of " + sure.of + "." : "")
      + (unsure.of ? " Guessed, and right: " + unsure.right + " of " + unsure.of + "." : "");
  }
  line.querySelector(".progress__clear").addEventListener("click", () => {
    try { localStorage.removeItem(KEY); } catch (error) { keeps = false; }
    count();
  });
  count();
})();
