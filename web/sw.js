// The service worker: keeps the application's own files of one build on the device, so that it opens without a network. What people
// enter and what the server knows is not its business: /api passes untouched, and the browser's database belongs to the application.
// The server fills in the build's address and files; a new build is a new worker, and the old one's files stay until no page needs them.
const base = "{{.Base}}";
const files = {{.Files}};
const name = `isthmus ${base}`;

self.addEventListener("install", event => event.waitUntil(keep()));
self.addEventListener("activate", event => event.waitUntil(forgetOld()));
self.addEventListener("message", event => { if (event.data === "take over") event.waitUntil(self.skipWaiting()); }); // only when the application asks
self.addEventListener("fetch", event => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== location.origin) return;
  if (event.request.mode === "navigate" ? isScreen(url.pathname) : url.pathname.startsWith("/a/")) event.respondWith(answer(event.request));
});

/** Keeps every file of the build. The page must be of the same build: where the server changed in between, the next try is. */
async function keep() {
  const cache = await caches.open(name);
  const page = await fetch("/", { cache: "reload", credentials: "omit" });
  if (!page.ok || !(await page.clone().text()).includes(`${base}/js/main.js`)) throw new Error("the page is of another build");
  await cache.addAll(files.map(file => `${base}/${file}`));
  await cache.put("/", page); // last: a build is whole or not there
}

/** The build before this one stays: a page of it may still be open and ask for a part it has not needed yet. */
async function forgetOld() {
  const builds = (await caches.keys()).filter(one => one.startsWith("isthmus ") && one !== name);
  await Promise.all(builds.slice(0, -1).map(one => caches.delete(one)));
}

/** From the device first: the page and its files are always of one build, and of the build whose database is there. */
async function answer(request) {
  const cache = await caches.open(name);
  const kept = request.mode === "navigate" ? await cache.match("/") : await cache.match(request) || await caches.match(request);
  return kept || fetch(request);
}

/** Screens are paths without a dot that the server does not answer itself. */
const isScreen = path => !/\.[^/]*$/.test(path) && !/^\/(api|docs|problems|healthz|readyz)(\/|$)/.test(path);
