// The edited description is copied into the browser as it is typed, so that a closed page loses nothing.
// A browser that refuses storage (private windows) simply keeps nothing.

const key = "lampwright.description"

export function keep(text: string | undefined): void {
  try {
    if (text === undefined) localStorage.removeItem(key)
    else localStorage.setItem(key, text)
  } catch {
    // Refused or full: the text still stands in the page.
  }
}

export function kept(): string | undefined {
  try {
    return localStorage.getItem(key) ?? undefined
  } catch {
    return undefined
  }
}
