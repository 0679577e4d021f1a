// A folder served on this machine for one test. Its files are read once, so that a build beside the test
// cannot change what is being tried.

import { readdirSync, readFileSync, statSync } from "node:fs"
import { createServer } from "node:http"
import type { AddressInfo } from "node:net"
import { extname, join } from "node:path"

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
  const files = new Map<string, Buffer>()
  for (const name of readdirSync(folder, { recursive: true }) as string[]) {
    const file = join(folder, name)
    if (statSync(file).isFile()) files.set(`/${name.replaceAll("\\", "/")}`, readFileSync(file))
  }
  const server = createServer((request, response) => {
    const { pathname } = new URL(request.url ?? "/", "http://localhost")
    const path = pathname === "/" ? "/index.html" : pathname
    const bytes = files.get(path)
    if (bytes) response.writeHead(200, { "content-type": types[extname(path)] ?? "text/plain" }).end(bytes)
    else response.writeHead(404).end()
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
