// The app's own files are kept in the browser at the first visit, so that it opens without its server.

import { page } from "./store.ts"

export function keepOffline(): void {
  if (!import.meta.env.PROD || !("serviceWorker" in navigator)) return
  navigator.serviceWorker.register("./service-worker.js").then(
    () => navigator.serviceWorker.ready.then(() => page.setState({ offline: true })),
    // Refused (a private window, a full disk): the app needs its server then, and does not say otherwise.
    () => undefined,
  )
}
