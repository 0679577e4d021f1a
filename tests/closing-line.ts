// Prints the plain closing line "N passed, N failed, N skipped" that any reader of the log can count on.

import type { Reporter, TestModule } from "vitest/node"

export default class ClosingLine implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], unhandled: readonly unknown[]): void {
    let passed = 0
    let failed = unhandled.length
    let skipped = 0
    for (const module of modules) {
      let tests = 0
      for (const test of module.children.allTests()) {
        tests++
        const { state } = test.result()
        if (state === "passed") passed++
        else if (state === "failed") failed++
        else skipped++
      }
      // A file that could not be loaded has no test to fail.
      if (tests === 0 && module.state() === "failed") failed++
    }
    console.log(`${passed} passed, ${failed} failed, ${skipped} skipped`)
  }
}
