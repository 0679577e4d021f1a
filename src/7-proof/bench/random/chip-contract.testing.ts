// What firmware/TABLE.md promises about the chip beside the light: pins, slots, timer, watchdog, sleep, looks, interrupts
// that leave no trace, registers left alone. A watch is set on a run before it advances and tells afterwards what was
// broken.

import type { ReferenceModel } from "../reference-model.ts"
import type { BenchRun } from "../run-bench.ts"

/** Registers by data address, and what this family member does otherwise. */
interface Registers {
  readonly ports: number
  /** First of PINx, DDRx, PORTx of each port. */
  readonly portAt: readonly number[]
  readonly usable: readonly number[]
  readonly timer: Readonly<
    Record<"tccr1a" | "tccr1b" | "tcnt1" | "icr1" | "ocr1a" | "ocr1b" | "timsk1", number>
  >
  readonly wdtcsr: number
  readonly mcusr: number
  /** Final value and address: sleep mode and enable left out. */
  readonly sleep: { readonly at: number; readonly mode: number }
  readonly power: { readonly at: number; readonly off: number }
  readonly acsr: number
  readonly gpior: readonly number[]
  readonly tifr1: number
  /** Cycles from the overflow to the end of the first port write when nothing delays it: entry, jump, six instructions. */
  readonly toFirstWrite: number
}

// Data sheets, register summaries.
const mega: Registers = {
  ports: 3,
  portAt: [0x23, 0x26, 0x29],
  usable: [0x3f, 0x3f, 0xff],
  timer: { tccr1a: 0x80, tccr1b: 0x81, tcnt1: 0x84, icr1: 0x86, ocr1a: 0x88, ocr1b: 0x8a, timsk1: 0x6f },
  wdtcsr: 0x60,
  mcusr: 0x54,
  sleep: { at: 0x53, mode: 0x0e },
  // Two-wire, timers 2 and 0, SPI, serial port, converter; timer 1 stays.
  power: { at: 0x64, off: 0xe7 },
  acsr: 0x50,
  gpior: [0x3e, 0x4a, 0x4b],
  tifr1: 0x36,
  toFirstWrite: 18,
}
const tiny: Registers = {
  ports: 2,
  portAt: [0x39, 0x36],
  usable: [0xff, 0x04],
  timer: { tccr1a: 0x4f, tccr1b: 0x4e, tcnt1: 0x4c, icr1: 0x44, ocr1a: 0x4a, ocr1b: 0x48, timsk1: 0x2c },
  wdtcsr: 0x41,
  mcusr: 0x54,
  sleep: { at: 0x55, mode: 0x18 },
  // Timer 0, serial interface, converter.
  power: { at: 0x20, off: 0x07 },
  acsr: 0x28,
  gpior: [0x33, 0x34, 0x35],
  tifr1: 0x2b,
  toFirstWrite: 17,
}

/** Cycle of the frame at which each slot begins (TABLE.md, "Time on the chip"). */
const slotStarts = [0, 16, 48, 112, 240, 488, 992, 1992] as const
/** The instruction under way, or waking from sleep, may delay an interrupt by so many cycles. */
const latest = 4
/** Slots 0 to 5 follow from one interrupt in counted cycles. */
const counted = 6

export interface ChipWatch {
  /** To be asked after each look's step of the model: holds the vitals in RAM against it. */
  readonly told: (look: number, model: ReferenceModel) => void
  /** Whether something was broken so far. */
  readonly broken: () => boolean
  /** What was broken, in words; asked after the run. */
  readonly faults: () => string[]
  /** Latest beginning of a slot after its place in the frame, and of a look after its tick, in cycles. */
  readonly seen: { slot: number; look: number; awake: number; boot: number }
}

/** `wires` in the order of the table's inputs; asked for `told` only. */
export function watchChip(run: BenchRun, wires: readonly string[] = []): ChipWatch {
  const { chip, bench } = run
  const { core, ports, timer } = chip
  const of = chip.options.kin ? tiny : mega
  const faults = new Set<string>()
  const fault = (what: string) => {
    if (faults.size < 8) faults.add(what)
  }
  const seen = { slot: 0, look: 0, awake: 0, boot: 0 }

  // --- interrupts leave registers, stack and status as they were
  const before = new Uint8Array(32)
  let [inside, sp, sreg, entered] = [false, 0, 0, 0]
  let interruptCycles = 0
  const enter = core.enterInterrupt.bind(core)
  core.enterInterrupt = (vector, cost) => {
    before.set(core.data.subarray(0, 32))
    ;[inside, sp, sreg, entered] = [true, core.sp, core.sreg, core.cycles]
    enter(vector, cost)
  }
  const attend = chip.attend.bind(chip)
  chip.attend = () => {
    if (inside && core.sreg & 0x80) {
      inside = false
      interruptCycles += core.cycles - entered
      if (core.sp !== sp) fault("an interrupt moves the stack pointer")
      if (core.sreg !== sreg) fault("an interrupt changes the status register")
      for (let r = 0; r < 32; r++) if (core.data[r] !== before[r]) fault(`an interrupt changes r${r}`)
    }
    return attend()
  }

  // --- registers written
  const allowed = new Set<number>([
    ...of.portAt.flatMap((at) => [at + 1, at + 2]),
    ...Object.values(of.timer),
    ...[of.timer.tcnt1, of.timer.icr1, of.timer.ocr1a, of.timer.ocr1b].map((at) => at + 1),
    ...[of.wdtcsr, of.mcusr, of.sleep.at, of.power.at, of.acsr, of.tifr1, ...of.gpior],
  ])
  const writeIo = chip.writeIo.bind(chip)
  chip.writeIo = (at, value, mask) => {
    if (!allowed.has(at)) fault(`writes to the register at 0x${at.toString(16)}`)
    writeIo(at, value, mask)
  }

  // --- pins: levels before directions, slots on their grid
  let resets = 0
  let wrap = -1
  let place = 0
  let first = 0
  let driving = 0
  const write = ports.write.bind(ports)
  ports.write = (address, value, mask, cycle) => {
    const port = Math.floor((address - 0x23) / 3)
    const what = (address - 0x23) % 3
    boots()
    if (what === 0) fault("toggles pins by writing to PINx")
    else if (what === 1) {
      if (value & ~of.usable[port]!) fault(`drives pins of port ${port} that are not its own`)
      if (timer.lastWrap < 0) driving = cycle
      else if (value !== ports.direction[port]) fault("changes directions while it dims")
    } else if (timer.lastWrap >= 0) onGrid(port, cycle)
    write(address, value, mask, cycle)
  }
  const onGrid = (port: number, cycle: number) => {
    if (timer.lastWrap !== wrap) {
      if (wrap >= 0 && place !== 8 * of.ports) fault(`${place} port writes in a frame`)
      wrap = timer.lastWrap
      place = 0
    }
    const slot = Math.floor(place / of.ports)
    const own = slotStarts[slot]! + of.toFirstWrite + 3 * (place % of.ports)
    const late = cycle - wrap - own
    if (place === 0) first = late
    const inSlot = place % of.ports
    if (port !== inSlot || slot > 7) fault("writes to the ports out of their order")
    else if (slot < counted ? late !== first : inSlot > 0 && late !== slotLate)
      fault(`slot ${slot} is ${late} cycles off`)
    if (late < 0 || late > latest) fault(`slot ${slot} begins ${late} cycles late`)
    if (inSlot === 0) slotLate = late
    seen.slot = Math.max(seen.slot, late)
    place++
  }
  let slotLate = 0

  // --- a reset ends frames and looks
  const boots = () => {
    if (chip.resets.length === resets) return
    resets = chip.resets.length
    wrap = -1
    place = 0
    ;[lastLook, lastKick, kicks, tick, stack, latestWork, driving] = [-1, -1, 0, -1, -1, 0, 0]
    inside = false
  }

  // --- looks, work, watchdog, sleep
  let [lastLook, lastKick, kicks, tick, stack] = [-1, -1, 0, -1, -1]
  let latestWork = 0
  let lastCount = 0
  let [slept, interrupted] = [0, 0]
  const vitals = core.ram.start
  /** Inputs live and flashing by the vitals when a tick begins: what the look before it made of them; −1: no tick. */
  const states: number[] = []
  const at = () => run.looks.length
  const onRead = ports.onRead
  ports.onRead = (port) => {
    boots()
    const cycle = chip.cycle
    const sameLook = lastLook >= 0 && cycle - lastLook < 3200
    if (!sameLook) {
      states[at()] = -1
      if (driving > 0 && timer.lastWrap >= 0) beginsTick(cycle)
      else if (timer.lastWrap < 0) seen.boot = Math.max(seen.boot, cycle - chip.resets.at(-1)!.cycle)
      lastLook = cycle
    } else if (tick >= 0 && cycle - lastLook > 12) fault("reads the ports of one look far apart")
    onRead(port)
  }
  const beginsTick = (cycle: number) => {
    // Safe map and start look without a timer.
    if (tick >= 0) {
      states[at()] = core.data[vitals + 6]! | (core.data[vitals + 7]! << 8)
      if (kicks !== 1) fault(`${kicks} watchdog restarts in a millisecond`)
      if (timer.lastWrap - tick !== 16_000) fault(`a tick of ${timer.lastWrap - tick} cycles`)
      const waited = cycle - lastKick - (chip.sleptCycles - slept) - (interruptCycles - interrupted)
      seen.awake = Math.max(seen.awake, waited)
      if (waited > awakeWhileWaiting) fault(`awake for ${waited} cycles while there is nothing to do`)
    }
    if (core.data[1] !== 0) fault("r1 is not 0 at a look")
    if (stack >= 0 && core.sp !== stack) fault("the stack pointer wanders from tick to tick")
    if (!(core.sreg & 0x80)) fault("interrupts are off")
    if (core.ram.end - core.sp > 48) fault("the stack does not begin at the end of the RAM")
    stack = core.sp
    tick = timer.lastWrap
    kicks = 0
    const after = cycle - tick
    seen.look = Math.max(seen.look, after)
    if (after > lookAfter) fault(`looks ${after} cycles after its tick began`)
  }
  const read = timer.read.bind(timer)
  timer.read = (address, cycle) => {
    if (address === 0x84 && tick >= 0) lastCount = Math.floor((cycle - tick) / 8)
    return read(address, cycle)
  }
  const kick = chip.watchdogReset.bind(chip)
  chip.watchdogReset = () => {
    kicks++
    lastKick = chip.cycle
    ;[slept, interrupted] = [chip.sleptCycles, interruptCycles]
    if (tick >= 0) latestWork = Math.max(latestWork, lastCount)
    kick()
  }

  return {
    seen,
    broken: () => faults.size > 0,
    told: (look, model) => {
      const state = states[look + 1]
      if (state === undefined || state < 0) return
      wires.forEach((name, i) => {
        const wire = model.wires.get(name)
        if (!wire) return
        if ((((state >> i) & 1) === 1) !== wire.live) fault(`${name} is told ${wire.live ? "dead" : "live"}`)
        if ((((state >> (8 + i)) & 1) === 1) !== wire.holdsBack) fault(`${name} is told flashing wrongly`)
      })
    },
    faults: () => {
      boots()
      const out = [...faults]
      const say = (what: string) => out.push(what)
      const byte = (at: number) => core.data[vitals + at]!
      const word = (at: number) => byte(at) | (byte(at + 1) << 8)
      if (byte(4) === 1 || byte(4) === 2) {
        if (tick < 0) return [...out, "no tick"]
        if (word(2) !== latestWork) say(`latest work ${word(2)}, seen ${latestWork}`)
        for (let p = 0; p < of.ports; p++) {
          const mask = (pins: readonly { port: number; bit: number }[]) =>
            pins.reduce((all, c) => (c.port === p ? all | (1 << c.bit) : all), 0)
          const outputs = mask(bench.channels)
          const unused = of.usable[p]! & ~outputs & ~mask(bench.inputs)
          if (ports.direction[p] !== outputs) say(`port ${p} drives ${ports.direction[p]!.toString(2)}`)
          if ((ports.latch[p]! & ~outputs) !== unused) say(`port ${p} pulls up other pins than the unused`)
        }
        const io = (at: number) => chip.readIo(at)
        const wide = (at: number) => io(at) | (io(at + 1) << 8)
        const { timer: t } = of
        const set = [io(t.tccr1a), io(t.tccr1b), wide(t.icr1), wide(t.ocr1a), wide(t.ocr1b), io(t.timsk1)]
        if (set.join() !== [2, 0x1a, 499, 123, 248, 7].join()) say(`timer 1 set up as ${set}`)
      }
      // Watchdog: reset mode, shortest time-out, whatever is served.
      if ((chip.readIo(of.wdtcsr) & 0x6f) !== 8) say("the watchdog is not set to 16 ms and reset")
      if (byte(4) !== 0) {
        if (core.data[of.power.at] !== of.power.off) say("power is left on where it is not needed")
        if (core.data[of.acsr] !== 0x80) say("the comparator is left on")
        if (chip.readIo(of.mcusr) !== 0) say("the cause of the reset is not cleared")
      }
      return out
    },
  }
}

/** Waking, testing, sleeping again, three times in each of the tick's four frames at most. */
const awakeWhileWaiting = 400
/** The dimming interrupt that makes a tick due takes 528 cycles to the start of slot 5. */
const lookAfter = 640
