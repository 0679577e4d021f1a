// lampwright app: serves the built app on this machine only, until stopped.

import { createReadStream, existsSync, statSync } from "node:fs"
import { createServer, type Server } from "node:http"
import { extname, join, resolve, sep } from "node:path"
import { fileURLToPath } from "node:url"
import { because, Refusal } from "./refusal.ts"

const types: Record<string, string> = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".svg": "image/svg+xml",
  ".json": "application/json",
  ".woff2": "font/woff2",
  ".woff": "font/woff",
}

export async function serveApp(portText: string): Promise<number> {
  const port = Number(portText)
  if (!Number.isInteger(port) || port < 0 || port > 65535)
    throw new Refusal(`--port takes a whole number from 0 to 65535, not ${portText}`)
  const folder = join(fileURLToPath(new URL(".", import.meta.url)), "..", "app")
  if (!existsSync(join(folder, "index.html"))) throw new Refusal("the app is not built yet: npm run build")
  const server = appServer(folder)
  await new Promise<void>((done, fail) => {
    server.once("error", (error) => fail(new Refusal(`cannot serve on port ${port}: ${because(error)}`)))
    server.listen(port, "127.0.0.1", done)
  })
  const address = server.address()
  const bound = typeof address === "object" && address ? address.port : port
  process.stdout.write(`The app is at http://localhost:${bound}/ (Ctrl-C stops it)\n`)
  await new Promise<void>((done) => {
    for (const signal of ["SIGINT", "SIGTERM"] as const)
      process.once(signal, () => server.close(() => done()))
    for (const signal of ["SIGINT", "SIGTERM"] as const)
      process.once(signal, () => server.closeAllConnections())
  })
  return 0
}

/** Serves the files below `folder`, to requests made to a localhost name only (no foreign page may reach it). */
export function appServer(folder: string): Server {
  const base = resolve(folder)
  return createServer((request, response): unknown => {
    const end = (status: number, text: string) =>
      response.writeHead(status, { "content-type": "text/plain" }).end(text)
    const host = (request.headers.host ?? "").replace(/:\d+$/, "")
    if (!["localhost", "127.0.0.1", "[::1]"].includes(host)) return end(403, "only localhost is served")
    if (request.method !== "GET" && request.method !== "HEAD") return end(405, "only GET and HEAD")
    let path: string
    try {
      path = decodeURIComponent(new URL(request.url ?? "/", "http://localhost").pathname)
    } catch {
      return end(400, "bad address")
    }
    const file = resolve(base, `.${path.endsWith("/") ? `${path}index.html` : path}`)
    if (!file.startsWith(base + sep) || path.includes("\0")) return end(404, "not found")
    const found = statSync(file, { throwIfNoEntry: false })
    if (!found?.isFile()) return end(404, "not found")
    response.writeHead(200, {
      "content-type": types[extname(file)] ?? "application/octet-stream",
      "content-length": found.size,
      "x-content-type-options": "nosniff",
      "cross-origin-opener-policy": "same-origin",
      "referrer-policy": "no-referrer",
      "cache-control": "no-cache",
    })
    if (request.method === "HEAD") return response.end()
    return createReadStream(file)
      .on("error", () => response.destroy())
      .pipe(response)
  })
}
