// Printing takes the view as it stands on the bench: its size is held, and scaled to a sheet lying on its side.

/** Width of A4 on its side inside its margins, CSS pixels. */
const sheet = 1030

export function listenForPrint(): void {
  const hold = () => {
    const bench = document.querySelector(".area-bench")
    const stage = document.querySelector(".stage")
    if (!bench) return
    const { style } = document.documentElement
    style.setProperty("--bench-wide", `${bench.clientWidth}px`)
    style.setProperty("--stage-high", `${stage?.clientHeight ?? 0}px`)
    style.setProperty("--print-scale", String(Math.min(1.4, sheet / Math.max(1, bench.clientWidth))))
  }
  window.addEventListener("beforeprint", hold)
  // Some browsers lay out for print before they say so.
  matchMedia("print").addEventListener("change", (e) => e.matches || hold())
}
