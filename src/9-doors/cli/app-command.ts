// lampwright app: serves the built app on this machine only, until stopped. With a description it offers that
// text and the drawings it names to the page, read-only; saving stays the builder's own act.

import { createReadStream, existsSync, readFileSync, realpathSync, statSync } from "node:fs"
import { createServer, type Server, type ServerResponse } from "node:http"
import { basename, extname, join, resolve, sep } from "node:path"
import { fileURLToPath } from "node:url"
import { readLamp } from "../../2-lamp/read-lamp.ts"
import { readLampSource } from "./files.ts"
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

/** What the page is offered: the description as it stands on disk now, and the drawings it names. */
export interface OfferedLamp {
  readonly file: string
  /** Where it lies, so that the page can tell two descriptions of one name apart. */
  readonly path: string
  readonly text: string
  readonly drawings: Readonly<Record<string, string>>
}

export async function serveApp(portText: string, lamp?: string): Promise<number> {
  const port = Number(portText)
  if (!Number.isInteger(port) || port < 0 || port > 65535)
    throw new Refusal(`--port takes a whole number from 0 to 65535, not ${portText}`)
  const folder = join(fileURLToPath(new URL(".", import.meta.url)), "..", "app")
  if (!existsSync(join(folder, "index.html"))) throw new Refusal("the app is not built yet: npm run build")
  if (lamp !== undefined) offerLamp(lamp)
  const server = appServer(folder, lamp)
  await new Promise<void>((done, fail) => {
    server.once("error", (error) => fail(new Refusal(`cannot serve on port ${port}: ${because(error)}`)))
    server.listen(port, "127.0.0.1", done)
  })
  const address = server.address()
  const bound = typeof address === "object" && address ? address.port : port
  const shown = lamp === undefined ? "" : ` with ${lamp}, read-only`
  process.stdout.write(`The app is at http://localhost:${bound}/${shown} (Ctrl-C stops it)\n`)
  await new Promise<void>((done) => {
    for (const signal of ["SIGINT", "SIGTERM"] as const)
      process.once(signal, () => server.close(() => done()))
    for (const signal of ["SIGINT", "SIGTERM"] as const)
      process.once(signal, () => server.closeAllConnections())
  })
  return 0
}

/** Reads the description and every drawing it names. A text with faults is offered all the same: the page tells them. */
export function offerLamp(path: string): OfferedLamp {
  const { text, drawing } = readLampSource(path)
  const drawings: Record<string, string> = {}
  const take = (file: string) => {
    const found = drawing(file)
    if (found !== undefined) drawings[file] = found
    return found
  }
  readLamp(text, take)
  // A text with a fault above its faces names drawings that were not asked for.
  for (const [file] of text.matchAll(/[^\s"'#{}[\],:]+\.svg/gi)) if (!(file in drawings)) take(file)
  return { file: basename(path), path: resolve(path), text, drawings }
}

/** Tells the page that there is a description to ask for, so that it never asks in vain. */
const offer = '<meta name="lampwright-lamp" content="./lamp.json" />'

/**
 * Serves the files below `folder`, and the description at `lamp` when given, to requests made to a localhost name
 * only (no foreign page may reach it).
 */
export function appServer(folder: string, lamp?: string): Server {
  const base = realpathSync(resolve(folder))
  return createServer((request, response): unknown => {
    const end = (status: number, text: string) =>
      response.writeHead(status, headers("text/plain; charset=utf-8", Buffer.byteLength(text))).end(text)
    const target = request.url ?? "/"
    // A target in absolute form says its own host, which counts instead of the header (RFC 9112, 3.2.2).
    const absolute = /^[a-z][a-z\d+.-]*:\/\/([^/?#]*)/i.exec(target)
    const hosts = [request.headers.host ?? "", ...(absolute ? [absolute[1]!] : [])]
    if (!hosts.every(isThisMachine)) return end(403, "only localhost is served")
    if (!absolute && !target.startsWith("/")) return end(400, "bad address")
    if (request.method !== "GET" && request.method !== "HEAD") return end(405, "only GET and HEAD")
    const head = request.method === "HEAD"
    let path: string
    try {
      path = decodeURIComponent(new URL(absolute ? target : `http://localhost${target}`).pathname)
    } catch {
      return end(400, "bad address")
    }
    if (lamp !== undefined && path === "/lamp.json") {
      try {
        return sendText(response, "application/json", JSON.stringify(offerLamp(lamp)), head)
      } catch (error) {
        return end(410, error instanceof Refusal ? error.message : because(error))
      }
    }
    const file = resolve(base, `.${path.endsWith("/") ? `${path}index.html` : path}`)
    if (!file.startsWith(base + sep) || path.includes("\0")) return end(404, "not found")
    const found = statSync(file, { throwIfNoEntry: false })
    // A link may lead out of the folder.
    if (!found?.isFile() || !realpathSync(file).startsWith(base + sep)) return end(404, "not found")
    if (lamp !== undefined && file === join(base, "index.html")) {
      const page = readFileSync(file, "utf8").replace("</head>", `  ${offer}\n  </head>`)
      return sendText(response, types[".html"] ?? "", page, head)
    }
    response.writeHead(200, headers(types[extname(file)] ?? "application/octet-stream", found.size))
    if (head) return response.end()
    return createReadStream(file)
      .on("error", () => response.destroy())
      .pipe(response)
  })
}

/** A name of this machine, with or without a port: no name a foreign page can point here by its own DNS. */
const isThisMachine = (host: string) => /^(localhost|127\.0\.0\.1|\[::1\])(:\d+)?$/i.test(host)

const headers = (type: string, length: number) => ({
  "content-type": type,
  "content-length": length,
  "x-content-type-options": "nosniff",
  "cross-origin-opener-policy": "same-origin",
  "cross-origin-resource-policy": "same-origin",
  "referrer-policy": "no-referrer",
  // The app's page carries the rest of its policy itself; being framed can only be refused from here. Anything else is
  // no page: opened by itself, nothing in it runs.
  "content-security-policy": type.startsWith("text/html")
    ? "frame-ancestors 'none'"
    : "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'",
  "cache-control": "no-cache",
})

function sendText(response: ServerResponse, type: string, text: string, head: boolean) {
  const bytes = Buffer.from(text)
  response.writeHead(200, headers(type, bytes.length))
  return head ? response.end() : response.end(bytes)
}
