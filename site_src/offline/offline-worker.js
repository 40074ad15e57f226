"use strict";
// Keeps one edition of the site for use without a network: all of it, or nothing. The generator fills in edition and files.
const EDITION = "__EDITION__";
const FILES = __FILES__; // address, relative to this file: SHA-256 of what must be there
const NAME = "arbor-and-case ";

self.addEventListener("install", event => event.waitUntil(store()));
self.addEventListener("activate", event => event.waitUntil(forgetOthers()));
self.addEventListener("fetch", event => {
  if (event.request.method === "GET" && event.request.url.startsWith(self.registration.scope)) event.respondWith(answer(event.request));
});

// addAll keeps every file or none; the hash refuses a file of another edition, so that no mixture is ever kept.
async function store() {
  const cache = await caches.open(NAME + EDITION);
  try {
    await cache.addAll(Object.entries(FILES).map(([address, hash]) => new Request(address, {cache: "no-cache", integrity: "sha256-" + hash})));
  } catch (fault) {
    await caches.delete(NAME + EDITION);
    throw fault;
  }
}

async function forgetOthers() {
  const names = await caches.keys();
  await Promise.all(names.filter(name => name.startsWith(NAME) && name !== NAME + EDITION).map(name => caches.delete(name)));
}

async function answer(request) {
  const url = new URL(request.url);
  url.search = url.hash = "";
  if (url.pathname.endsWith("/")) url.pathname += "index.html";
  return (await caches.match(url.href, {cacheName: NAME + EDITION})) || fetch(request);
}
