// Asks the browser to keep the site for use without a network. Does nothing from file://, where the site is at hand anyway.
(function () {
  "use strict";
  if (location.protocol === "file:" || !("serviceWorker" in navigator)) return;
  const root = document.currentScript.src.replace(/assets\/offline\.js.*$/, "");
  const link = document.createElement("link");
  link.rel = "manifest";
  link.href = root + "manifest.webmanifest";
  document.head.appendChild(link);
  navigator.serviceWorker.register(root + "offline-worker.js", {scope: root}).catch(() => {});
})();
