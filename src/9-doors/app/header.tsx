// The lamp's name, one verdict, one action.

import { useEffect } from "react"
import { Button } from "react-aria-components"
import { show } from "../../0-ground/text/show.ts"
import { compute, makePack, stop } from "./engine.ts"
import { showKeys } from "./start/show-keys.ts"
import { isMade, usePage } from "./store.ts"
import { leftInWords } from "./time-left.ts"
import { verdictWords } from "./words.ts"

export function Header() {
  const lamp = usePage((s) => s.lamp)
  useEffect(() => {
    if (lamp) document.title = `${lamp.name}, Lampwright`
  }, [lamp])
  return (
    <header className="area-header">
      <h1>{lamp?.name ?? "Lampwright"}</h1>
      {lamp && (
        <p className="soft header-facts">
          <span>
            {show(lamp.vehicle.supply.lowest, "V")} to {show(lamp.vehicle.supply.highest, "V")},{" "}
            {lamp.vehicle.kind}
          </span>
          <span>{lamp.groups.reduce((n, g) => n + g.leds.length, 0)} LEDs</span>
        </p>
      )}
      <div className="header-state">
        <Button className="inline header-keys" onPress={() => void showKeys()}>
          Keys
        </Button>
        <RunState />
        <PackState />
      </div>
    </header>
  )
}

const stageWords: Record<string, string> = {
  read: "Reading the description",
  drive: "Choosing the drive",
  behaviour: "Planning the light",
  boards: "Laying out the boards",
  firmware: "Making the firmware",
  cut: "Planning the cuts",
  proof: "Proving what was made",
}

const colours = { "do not cut": "red", "ready with cautions": "amber", ready: "green" }

function RunState() {
  const run = usePage((s) => s.run)
  const design = usePage((s) => s.design)
  const made = usePage((s) => isMade(s))
  const unread = usePage((s) => s.unread)
  if (run.state === "computing") {
    const { stage, note } = run.progress
    const percent = Math.round(run.share * 100)
    return (
      <div className="running">
        {design && made && (
          <p className="verdict" data-first-verdict={design.verdict} data-severity={colours[design.verdict]}>
            {verdictWords(design.verdict, design.findings)}
          </p>
        )}
        <div
          role="progressbar"
          aria-label="Progress of the whole run"
          aria-valuemin={0}
          aria-valuemax={100}
          aria-valuenow={percent}
          className="progress"
        >
          <span className="progress-words">
            <span className="progress-stage">
              {made ? "Looking for better boards" : (stageWords[stage] ?? stage)}
              {note ? <span className="soft">, {note}</span> : null}
            </span>
            {run.left === undefined ? null : <span className="soft"> {leftInWords(run.left)}</span>}
          </span>
          <span className="progress-track">
            <span className="progress-done" style={{ width: `${percent}%` }} />
          </span>
        </div>
        <Button className="quiet" onPress={stop}>
          Stop
        </Button>
      </div>
    )
  }
  if (run.state === "failed")
    return (
      <div className="running" role="alert">
        <p className="verdict" data-severity="red">
          The computation broke off: {run.message}
        </p>
        <Again />
      </div>
    )
  if (run.state === "stopped")
    return (
      <div className="running">
        <p className="verdict">Stopped</p>
        <Again />
      </div>
    )
  if (unread.length > 0)
    return (
      <p className="verdict" data-severity="red" role="status">
        {unread.some((f) => /syntax|too-|empty|mapping/.test(f.code))
          ? "The text could not be read"
          : "Not a whole lamp yet"}
      </p>
    )
  if (design && !made)
    return (
      <div className="running">
        <p className="verdict" role="status">
          The text was changed
        </p>
        <Again />
      </div>
    )
  if (!design) return null
  const verdict = (
    <p
      className="verdict"
      data-verdict={design.verdict}
      data-severity={colours[design.verdict]}
      role="status"
    >
      {verdictWords(design.verdict, design.findings)}
    </p>
  )
  if (!run.searchEnded) return verdict
  return (
    <div className="running">
      {verdict}
      <Button className="quiet" onPress={() => void compute()}>
        Look for better boards
      </Button>
    </div>
  )
}

function Again() {
  return (
    <Button className="quiet" onPress={() => void compute()}>
      Recompute
    </Button>
  )
}

function PackState() {
  const packing = usePage((s) => s.packing)
  const made = usePage((s) => isMade(s))
  const run = usePage((s) => s.run.state)
  const note = usePackNote()
  return (
    <div className="pack">
      <Button
        className="action"
        onPress={() => void makePack()}
        isDisabled={!made || packing.state === "making"}
        aria-describedby="pack-note"
      >
        {packing.state === "making" ? "Making the pack…" : "Make the pack"}
      </Button>
      <p
        className="pack-note soft"
        id="pack-note"
        role="status"
        data-so-far={(made && run === "computing") || undefined}
      >
        {packing.state === "failed" ? <span data-severity="red">No pack: {packing.message}</span> : note}
      </p>
    </div>
  )
}

/** What was packed, what would be, or why nothing can be. */
function usePackNote(): string {
  const packing = usePage((s) => s.packing)
  const run = usePage((s) => s.run.state)
  const made = usePage((s) => isMade(s))
  const verdict = usePage((s) => s.design?.verdict)
  const unread = usePage((s) => s.unread.length > 0)
  if (packing.state === "made")
    return `${packing.name}, ${Math.ceil(packing.size / 1024)} kB${packing.earlier ? "; better boards were found since" : ""}`
  if (packing.state === "making") return ""
  if (made) {
    // The verdict stands beside it, and there is little room.
    if (run === "computing") return "with the boards so far"
    return verdict === "do not cut" ? "will be marked do not cut" : ""
  }
  if (unread) return "no pack yet: this text is not a whole lamp"
  if (run === "computing") return "no pack yet: boards, cut and proof are being made"
  return run === "idle" && verdict === undefined ? "" : "no pack yet: recompute first"
}
