// The app's service worker: keeps one complete copy of one build and answers from it. The build fills in the version and
// the list. It never takes over by itself: a new version waits until the page says "apply", because somebody may be in
// the middle of a trial.

const VERSION = "__VERSION__";
const FILES = "__FILES__"; // [[address, integrity], …]

// The path is part of the name: two copies of the app on one host must not clear each other's files.
const OURS = `boomwright-${new URL(self.registration.scope).pathname}-`;
const CACHE = OURS + VERSION;

self.addEventListener("install", (event) => event.waitUntil(keepAll()));
self.addEventListener("activate", (event) => event.waitUntil(takeOver()));
self.addEventListener("message", (event) => {
  if (event.data === "apply") self.skipWaiting();
});
self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method === "GET" && request.url.startsWith(self.registration.scope)) {
    event.respondWith(answer(request));
  }
});

// All or nothing: half a version is worse than the old one, and a file whose digest differs belongs to another build.
async function keepAll() {
  const cache = await caches.open(CACHE);
  const results = await Promise.allSettled(FILES.map((file) => keep(cache, file)));
  const failure = results.find((result) => result.status === "rejected");
  if (failure) {
    await caches.delete(CACHE);
    throw failure.reason;
  }
}

async function keep(cache, [address, integrity]) {
  const response = await fetch(address, { cache: "no-cache", integrity });
  if (!response.ok) throw new Error(`${address}: ${response.status}`);
  // Some hosts redirect index.html to its folder; a redirected response may not answer a navigation, its content may.
  const { headers } = response;
  await cache.put(address, response.redirected ? new Response(await response.blob(), { headers }) : response);
}

async function takeOver() {
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith(OURS) && name !== CACHE);
  await Promise.all(old.map((name) => caches.delete(name)));
  await self.clients.claim();
}

async function answer(request) {
  const own = await caches.open(CACHE);
  const kept = await own.match(request, { ignoreVary: true });
  if (kept) return kept;
  if (request.mode === "navigate") return (await own.match("index.html", { ignoreVary: true })) ?? fetch(request);
  return (await anyOfOurs(request)) ?? fetch(request);
}

// A page of the version before may still ask for its own files while the new one has taken over.
async function anyOfOurs(request) {
  for (const name of await caches.keys()) {
    if (!name.startsWith(OURS)) continue;
    const kept = await (await caches.open(name)).match(request, { ignoreVary: true });
    if (kept) return kept;
  }
  return undefined;
}
