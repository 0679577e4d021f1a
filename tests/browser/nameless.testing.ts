// What a screen reader would call nothing: pressable things without words.

import type { Page } from "playwright-core"

/** Outer HTML (shortened) of every button, field, tab, link and slider that has no accessible name. */
export function nameless(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const kinds =
      "button, a[href], input, select, textarea, [role=tab], [role=button], [role=radio], [role=slider], [tabindex='0']"
    const textOf = (ids: string | null) =>
      (ids ?? "")
        .split(/\s+/)
        .map((id) => (id === "" ? "" : (document.getElementById(id)?.textContent ?? "")))
        .join(" ")
        .trim()
    const named = (e: Element) => {
      if ((e.getAttribute("aria-label") ?? "").trim() !== "") return true
      if (textOf(e.getAttribute("aria-labelledby")) !== "") return true
      if ("labels" in e && [...((e as HTMLInputElement).labels ?? [])].some((l) => l.textContent?.trim()))
        return true
      const field = /^(INPUT|SELECT|TEXTAREA)$/.test(e.tagName)
      return !field && (e.textContent ?? "").trim() !== ""
    }
    return [...document.querySelectorAll(kinds)]
      .filter((e) => e.checkVisibility() && !named(e))
      .map((e) => e.outerHTML.slice(0, 160))
  })
}
