// What the app's server offers: the description and the drawings it names, read-only, to this machine only.

import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs"
import { type IncomingMessage, request, type Server } from "node:http"
import type { AddressInfo } from "node:net"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { afterAll, beforeAll, expect, test } from "vitest"
import { appServer, offerLamp } from "./app-command.ts"
import { Refusal } from "./refusal.ts"

const text = `lampwright: 1
faces:
  wing: { drawing: "wing.svg#edge", metal: steel, thickness: 2 mm, hole: 5.2 mm }
  other: { drawing: "../secret.svg#edge", metal: steel, thickness: 2 mm, hole: 5.2 mm }
  third: { drawing: "linked.svg#edge", metal: steel, thickness: 2 mm, hole: 5.2 mm }
`
let folder = ""
let lamp = ""
let server: Server
let port = 0

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "lampwright-app-"))
  mkdirSync(join(folder, "page"))
  mkdirSync(join(folder, "lamp"))
  lamp = join(folder, "lamp", "wing.yaml")
  writeFileSync(join(folder, "page", "index.html"), "<html><head></head><body>page</body></html>")
  writeFileSync(lamp, text)
  writeFileSync(join(folder, "lamp", "wing.svg"), "<svg/>")
  writeFileSync(join(folder, "lamp", "unnamed.svg"), "<svg/>")
  writeFileSync(join(folder, "secret.svg"), "<svg>secret</svg>")
  symlinkSync(join(folder, "secret.svg"), join(folder, "lamp", "linked.svg"))
  symlinkSync(join(folder, "secret.svg"), join(folder, "page", "linked.svg"))
  symlinkSync(folder, join(folder, "page", "up"))
  writeFileSync(join(folder, "page", "own.svg"), "<svg>own</svg>")
  server = appServer(join(folder, "page"), lamp)
  await new Promise<void>((ready) => server.listen(0, "127.0.0.1", ready))
  port = (server.address() as AddressInfo).port
})

afterAll(() => {
  server.close()
  rmSync(folder, { recursive: true, force: true })
})

function ask(path: string, { method = "GET", host = "localhost", to = port } = {}) {
  return new Promise<{ status: number; body: string; headers: IncomingMessage["headers"] }>((done, fail) => {
    request({ port: to, host: "127.0.0.1", path, method, headers: { host } }, (response) => {
      let body = ""
      response.setEncoding("utf8")
      response.on("data", (chunk) => {
        body += chunk
      })
      response.on("end", () => done({ status: response.statusCode ?? 0, body, headers: response.headers }))
    })
      .on("error", fail)
      .end()
  })
}

test("offers the text and the drawings it names, nothing beside and nothing outside its folder", async () => {
  const { status, body, headers } = await ask("/lamp.json")
  expect(status).toBe(200)
  expect(headers["content-type"]).toBe("application/json")
  expect(JSON.parse(body)).toEqual({
    file: "wing.yaml",
    path: lamp,
    text,
    drawings: { "wing.svg": "<svg/>" },
  })
})

test("tells the page that a description is offered, and only then", async () => {
  expect((await ask("/")).body).toContain('<meta name="lampwright-lamp" content="./lamp.json" />')
  const plain = appServer(join(folder, "page"))
  await new Promise<void>((ready) => plain.listen(0, "127.0.0.1", ready))
  const to = (plain.address() as AddressInfo).port
  expect((await ask("/", { to })).body).not.toContain("lampwright-lamp")
  expect((await ask("/lamp.json", { to })).status).toBe(404)
  plain.close()
})

test("is read anew at each asking, and never written", async () => {
  writeFileSync(lamp, `# mine\n${text}`)
  expect(JSON.parse((await ask("/lamp.json")).body).text).toBe(`# mine\n${text}`)
  for (const method of ["PUT", "POST", "DELETE"]) {
    expect((await ask("/lamp.json", { method })).status).toBe(405)
  }
  writeFileSync(lamp, text)
})

test("a page of another name is refused the description", async () => {
  const { status, body } = await ask("/lamp.json", { host: "elsewhere.example" })
  expect(status).toBe(403)
  expect(body).not.toContain("lampwright")
})

test("a description that went away is told in words", async () => {
  rmSync(lamp)
  const { status, body } = await ask("/lamp.json")
  expect(status).toBe(410)
  expect(body).toContain("there is no such file")
  expect(() => offerLamp(lamp)).toThrow(Refusal)
  writeFileSync(lamp, text)
})

test("serves no file beside its own, however it is asked, and is not to be framed", async () => {
  for (const path of [
    "/../secret.svg",
    "/%2e%2e/secret.svg",
    "/..%2fsecret.svg",
    "//etc/passwd",
    "/%2e%2e%2fsecret.svg",
    "/x/../../secret.svg",
    "/..%5csecret.svg",
    "/%252e%252e/secret.svg",
    "/linked.svg",
    "/up/secret.svg",
    "/up",
    "/%00",
    "/%",
  ]) {
    const { status, body } = await ask(path)
    expect([400, 404]).toContain(status)
    expect(body).not.toContain("secret")
  }
  expect((await ask("/")).headers["content-security-policy"]).toContain("frame-ancestors 'none'")
})

test("whatever is no page carries a policy under which nothing in it runs", async () => {
  for (const path of ["/own.svg", "/lamp.json", "/nothing"])
    expect((await ask(path)).headers).toMatchObject({
      "content-security-policy": expect.stringContaining("default-src 'none'"),
      "x-content-type-options": "nosniff",
    })
})

test("answers to the names of this machine only", async () => {
  for (const host of ["localhost", "127.0.0.1:4780", "[::1]:4780"])
    expect((await ask("/", { host })).status).toBe(200)
  for (const host of [
    "192.168.0.7",
    "localhost.evil.example",
    "evil.example:4780",
    "localhost:80@evil",

    "0.0.0.0",
  ])
    expect((await ask("/", { host })).status).toBe(403)
})

test("a target in absolute form is judged by the host it says itself, as RFC 9112 has it", async () => {
  expect((await ask(`http://localhost:${port}/own.svg`)).body).toBe("<svg>own</svg>")
  for (const path of [
    "http://evil.example/",
    "http://evil.example/lamp.json",
    "HTTP://[::2]/",
    "http://localhost@evil.example/",
  ])
    expect((await ask(path)).status).toBe(403)
  // Neither a proxy nor a tunnel.
  expect((await ask("evil.example:80")).status).toBe(400)
})
