// The built app in a browser of its own, for one test file: served, opened, complaints collected.

import { existsSync, mkdtempSync, rmSync } from "node:fs"
import { tmpdir } from "node:os"
import { join } from "node:path"
import { type BrowserContext, chromium, type Page } from "playwright-core"
import { vi } from "vitest"
import { builtApp } from "./built-app.testing.ts"
import { type Served, serveFolder } from "./serve-folder.testing.ts"

export const program = process.env.LAMPWRIGHT_CHROMIUM ?? "/usr/bin/chromium"
export const installed = existsSync(program)
export const notInstalled = `Chromium is not installed at ${program}: the app was not tried in a browser`

/** The chain runs in the page before anything can be looked at; a loaded machine takes its time. */
export const patience = 240_000

/** A press may wait this long for the page: how long it takes is a benchmark's question, not a test's. */
const forAPress = 110_000

vi.setConfig({ testTimeout: patience, hookTimeout: patience, expect: { poll: { timeout: forAPress } } })

export interface Opened {
  readonly served: Served
  readonly browser: BrowserContext
  readonly page: Page
  /** What the browser's console, the page and the network complained of. */
  readonly complaints: string[]
  /** Another page of the same browser, watched too. */
  watch(page: Page): Page
  close(): Promise<void>
}

export interface Wishes {
  readonly width?: number
  readonly height?: number
  readonly colorScheme?: "light" | "dark"
  /** Runs in the page before anything of the app does. */
  readonly before?: () => void
}

export async function openApp({ width = 1280, height = 800, colorScheme = "light", before }: Wishes = {}) {
  const served = await serveFolder(builtApp())
  const profile = mkdtempSync(join(tmpdir(), "lampwright-browser-"))
  const browser = await chromium.launchPersistentContext(profile, {
    executablePath: program,
    viewport: { width, height },
    colorScheme,
    reducedMotion: "reduce",
    args: [
      "--headless",
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  })
  browser.setDefaultTimeout(forAPress)
  const complaints: string[] = []
  if (before) await browser.addInitScript(before)
  const watch = (page: Page) => {
    page.on("console", (m) => m.type() === "error" && complaints.push(m.text()))
    page.on("pageerror", (e) => complaints.push(e.message))
    page.on("requestfailed", (r) => {
      // A page that is left takes its unfinished requests with it.
      if (r.failure()?.errorText !== "net::ERR_ABORTED") complaints.push(`request failed: ${r.url()}`)
    })
    page.on("request", (r) => {
      if (!r.url().startsWith(served.url) && !/^(blob|data):/.test(r.url()))
        complaints.push(`asked the network for ${r.url()}`)
    })
    return page
  }
  const page = watch(browser.pages()[0] ?? (await browser.newPage()))
  await page.goto(served.url)
  const opened: Opened = {
    served,
    browser,
    page,
    complaints,
    watch,
    async close() {
      await browser.close()
      await served.close()
      rmSync(profile, { recursive: true, force: true })
    },
  }
  return opened
}

/** Waits until the text as it stands has been designed and judged. */
export const judged = (page: Page) => page.waitForSelector("[data-verdict]", { timeout: patience })
