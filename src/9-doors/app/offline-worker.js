// Keeps the app at hand without its server: its files as they were built, taken when the page is first opened. The
// lists are filled in by the build; a new build is a new store.

const version = "__VERSION__"
const files = ["__FILES__"]

self.addEventListener("install", (event) => {
  event.waitUntil(
    caches
      .open(version)
      .then((store) => store.addAll(files.map((f) => new Request(f, { cache: "reload" }))))
      .then(() => self.skipWaiting()),
  )
})

self.addEventListener("activate", (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) =>
        Promise.all(
          names.filter((n) => n.startsWith("lampwright ") && n !== version).map((n) => caches.delete(n)),
        ),
      )
      .then(() => self.clients.claim()),
  )
})

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url)
  if (event.request.method !== "GET" || url.origin !== self.location.origin) return
  // The page itself comes from the server while there is one, so that a new build is seen at once.
  if (event.request.mode === "navigate")
    event.respondWith(fetch(event.request).catch(() => caches.match("./", { ignoreSearch: true })))
  else if (files.some((f) => new URL(f, self.location.href).href === url.href))
    event.respondWith(caches.match(event.request).then((kept) => kept ?? fetch(event.request)))
})
