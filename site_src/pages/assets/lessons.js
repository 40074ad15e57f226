/* The trainee's path: notes which questions were answered right first time, on this device only, and shows the count. */
(function () {
  "use strict";
  var KEY = "bench-lessons";

  function read() {
    try { return JSON.parse(localStorage.getItem(KEY)) || {}; } catch (error) { return {}; }
  }

  function write(progress) {
    try { localStorage.setItem(KEY, JSON.stringify(progress)); } catch (error) { /* private mode: progress is not kept */ }
  }

  document.querySelectorAll(".question").forEach(function (question) {
    var options = question.querySelectorAll(".option"), answered = false;
    options.forEach(function (option) {
      option.addEventListener("toggle", function () {
        if (!option.open || answered) { return; }
        answered = true;
        var progress = read();
        progress[question.dataset.lesson + ":" + question.dataset.question] = option.dataset.right === "yes";
        write(progress);
      });
    });
  });

  var line = document.querySelector(".progress");
  if (!line) { return; }
  function show() {
    var progress = read(), right = 0, asked = 0;
    Object.keys(progress).forEach(function (key) { asked += 1; right += progress[key] ? 1 : 0; });
    line.hidden = !asked;
    line.querySelector(".progress__text").textContent = right + " of " + asked + " answered right first time on this device.";
  }
  line.querySelector(".progress__clear").addEventListener("click", function () {
    try { localStorage.removeItem(KEY); } catch (error) { /* nothing was kept */ }
    show();
  });
  show();
})();
