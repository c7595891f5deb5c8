// In place of sw.js on the host, this takes the app's offline copy away from every device that comes by, and from then on
// each page comes from the host: for the day a released worker turns out to be wrong in a way that a new version cannot
// mend. Records are not touched. It stays registered, because every page registers it again; it just answers nothing.

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(removeCopies()));

async function removeCopies() {
  const ours = `boomwright-${new URL(self.registration.scope).pathname}-`;
  const names = (await caches.keys()).filter((name) => name.startsWith(ours));
  await Promise.all(names.map((name) => caches.delete(name)));
  await self.clients.claim();
}
