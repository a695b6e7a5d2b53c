{% comment %}Needs: away (the page that is kept), room (a name of its own for what is kept), needed (addresses of what it is
made of), static_url.{% endcomment %}// Keeps one page on this device, with what it is made of, for when the shop's machine cannot be reached. Nothing of the
// shop stands on it: what waits to be sent is in the device's own storage, where the page reads it.
const AWAY = "{{ away }}";
const STATIC = "{{ static_url }}";
const ROOM = "{{ room }}";
const NEEDED = [AWAY{% for address in needed %}, "{{ address }}"{% endfor %}];

self.addEventListener("install", (event) =>
  event.waitUntil(caches.open(ROOM).then((room) => room.addAll(NEEDED)).then(() => self.skipWaiting())));

self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET") return;
  if (request.mode === "navigate") event.respondWith(page(request));
  else if (new URL(request.url).pathname.startsWith(STATIC)) event.respondWith(fresh(request));
});

const kept = async (address) => (await (await caches.open(ROOM)).match(address)) ?? Response.error();

// A proxy that answers for the machine is not the machine.
async function page(request) {
  const answer = await fetch(request).catch(() => null);
  return answer && (answer.status < 502 || answer.status > 504) ? answer : kept(AWAY);
}

// The newest there is; what was kept of it where there is none.
async function fresh(request) {
  try {
    const answer = await fetch(request);
    const path = new URL(request.url).pathname;
    if (answer.ok && NEEDED.includes(path)) await (await caches.open(ROOM)).put(path, answer.clone());
    return answer;
  } catch {
    return kept(new URL(request.url).pathname);
  }
}
