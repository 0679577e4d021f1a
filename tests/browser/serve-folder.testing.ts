// A folder served on this machine for one test, and nothing outside it.

import { readFile } from "node:fs/promises"
import { createServer } from "node:http"
import type { AddressInfo } from "node:net"
import { extname, resolve, sep } from "node:path"

const types: Record<string, string> = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".svg": "image/svg+xml",
  ".woff2": "font/woff2",
  ".woff": "font/woff",
}

export interface Served {
  readonly url: string
  close(): Promise<void>
}

export async function serveFolder(folder: string): Promise<Served> {
  const base = resolve(folder)
  const server = createServer((request, response): void => {
    const path = new URL(request.url ?? "/", "http://localhost").pathname
    const file = resolve(base, `.${path.endsWith("/") ? `${path}index.html` : path}`)
    const refuse = () => {
      response.writeHead(404).end()
    }
    if (!file.startsWith(base + sep)) refuse()
    else
      readFile(file).then((bytes) => {
        response.writeHead(200, { "content-type": types[extname(file)] ?? "text/plain" }).end(bytes)
      }, refuse)
  })
  await new Promise<void>((ready) => server.listen(0, "127.0.0.1", ready))
  const { port } = server.address() as AddressInfo
  return {
    url: `http://127.0.0.1:${port}/`,
    close: () =>
      new Promise((done) => {
        server.closeAllConnections()
        server.close(() => done())
      }),
  }
}
