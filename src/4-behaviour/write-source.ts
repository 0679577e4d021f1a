// The same program for whoever wants to change it by hand: the runtime's sources, the lamp's numbers as named
// constants, and the table made from these by the assembler. Built without a change it gives the very bytes of the image.

import type { Behaviour, BehaviourRule, Firmware, FlasherTiming } from "./artefact.ts"
import type { Controller } from "./controllers.ts"
import { channelOrder, type PackedPins, packTarget, rulesOf, safeInputs } from "./pack-table.ts"
import { runtimeSources } from "./runtime-sources.ts"
import { floorCode } from "./table-layout.ts"

export function writeSource(
  controller: Controller,
  behaviour: Behaviour,
  timing: FlasherTiming,
  pins: PackedPins,
  buildId: string,
): Firmware["source"] {
  const names = namesOf(behaviour)
  return [
    { name: "README.txt", text: readme(controller, buildId) },
    { name: "build.sh", text: buildScript(controller) },
    { name: "lamp.h", text: constants(controller, behaviour, timing, pins, names, buildId) },
    { name: "lamp-table.S", text: tableSource(behaviour, pins, names) },
    ...Object.entries(runtimeSources).map(([name, text]) => ({ name, text })),
  ]
}

interface Names {
  /** `LEFT`, by index of the input. */
  readonly inputs: readonly string[]
}

function namesOf({ inputs }: Behaviour): Names {
  const plain = inputs.map((i) => i.wire.toUpperCase().replace(/[^A-Z0-9]/g, "_"))
  return { inputs: plain.map((name, i) => (plain.indexOf(name) === i ? name : `${name}_${i}`)) }
}

const bitsOf = (indices: readonly number[], of: (i: number) => string): string =>
  indices.length === 0 ? "0" : indices.map((i) => `BIT(${of(i)})`).join(" | ")

function constants(
  { ports, name: chip }: Controller,
  { inputs, channels, rules }: Behaviour,
  timing: FlasherTiming,
  pins: PackedPins,
  names: Names,
  buildId: string,
): string {
  const pinOf = (code: number) => `PIN_${ports[code >> 4]}(${code & 7})`
  const wire = (i: number) => `INPUT_${names.inputs[i]}`
  const define = (name: string, value: string | number, why = "") =>
    `#define ${name.padEnd(30)} ${`${value}`.padEnd(why === "" ? 0 : 12)}${why === "" ? "" : ` /* ${why} */`}`
  const flag = (on: boolean | undefined) => (on ? 1 : 0)
  const out: string[] = [
    `/* The numbers of this lamp, for the ${chip}. Times are in milliseconds, levels in 1/255 of full light.`,
    "   Change what you like, then run build.sh. A signal must never go dark while its wire is live: try every",
    "   change on the bench with a fused supply before it goes into a vehicle. */",
    "#ifndef LAMP_H",
    "#define LAMP_H",
    "",
    `/* Tells which build is in the chip. It belongs to these very numbers: change it together with them. */`,
    define("BUILD_ID", `"${buildId}"`),
    "",
    "#define BIT(n) (1 << (n))",
    ...[...ports].map((letter, i) => `#define PIN_${letter}(bit) (${i} << 4 | (bit))`),
    "",
    "/* How flashers are judged. */",
    define("FLASH_SHORTEST_ON", timing.shortestOnMs, "a shorter flash is a fault of the flasher"),
    define("FLASH_STEADY_AFTER", timing.steadyAfterMs, "live for longer: on for good"),
    define("FLASH_CONTACT_GAP", timing.contactGapMs, "dead for less: a bad contact"),
    define("FLASH_OPERATION_GAP", timing.operationGapMs, "dead for longer: the next flash is a first one"),
    define("FLASH_UNSTABLE_FOR", timing.unstableForMs, "plain light after a fault of the flasher"),
    define("FLASH_FIVE_WITHIN", timing.riseWindowMs, "five flashes within this are too fast"),
    define("FLASH_HELD_BACK", timing.flashGapMs, "other lines of a shared group come back after this"),
    define("FLASH_TRUSTED", timing.trusted, "on-times that must be known before they pace a sweep"),
    define("LEAST_CODE", floorCode, "a changing LED that is not dark is never shown below this"),
  ]
  inputs.forEach((input, i) => {
    out.push("", `/* Wire ${comment(input.wire)}. */`, define(wire(i), i))
    out.push(define(`${wire(i)}_PIN`, pinOf(pins.inputs[i]!)))
    out.push(define(`${wire(i)}_FLASHING`, flag(input.flashing), "1: comes through the flasher"))
    out.push(define(`${wire(i)}_LOW_IS_LIVE`, flag(input.inverted)))
    out.push(define(`${wire(i)}_LIVE_AFTER`, input.assertMs, "looks that must find it live"))
    out.push(define(`${wire(i)}_DEAD_AFTER`, input.releaseMs, "looks in a row that must find it dead"))
  })
  out.push("", "/* Outputs, in the order of their pins. */")
  channelOrder(pins).forEach((c, k) => {
    const channel = channels[c]!
    out.push(define(`OUTPUT_${k}_PIN`, pinOf(pins.channels[c]!), `channel ${channel.index} of the circuit`))
    out.push(define(`OUTPUT_${k}_HIGH_LIGHTS`, flag(channel.activeHigh)))
  })
  const order = channelOrder(pins)
  rules.forEach((rule, r) => {
    const p = `LINE_${r}`
    const [target] = rule.targets
    out.push(
      "",
      `/* ${title(
        rule,
        r,
        inputs.map((i) => i.wire),
      )} */`,
    )
    out.push(define(`${p}_LIVE`, bitsOf(rule.live, wire), "wires that must be live"))
    out.push(
      define(`${p}_FLASHING`, bitsOf(rule.flashing ?? [], wire), "wires whose flashes must be going on"),
    )
    out.push(define(`${p}_LEVEL`, target?.level ?? 0))
    out.push(define(`${p}_RISE`, target?.riseMs ?? 0))
    out.push(define(`${p}_FALL`, target?.fallMs ?? 0))
    out.push(define(`${p}_SWEEP`, rule.sweepWithinMs ?? 0, "longest sweep; 0: everything at once"))
    if (rule.sweepWithinMs === undefined) return
    out.push(
      define(
        `${p}_SWEEP_MEANT`,
        rule.sweepNominalMs ?? rule.sweepWithinMs,
        "sweep that the rise is meant for",
      ),
    )
    out.push(
      define(
        `${p}_SHARE`,
        rule.sweepShare ?? timing.sweepShare,
        "of an on-time the sweep may take, in 1/256",
      ),
    )
    out.push(
      define(`${p}_FIRST_TOGETHER`, flag(rule.firstTogether), "1: no sweep while on-times are not known"),
    )
    order.forEach((c, k) => {
      if (!rule.targets.some((t) => t.channel === channels[c]!.index)) return
      const [, start] = packTarget(rule, channels[c]!.index)
      out.push(define(`${p}_START_${k}`, start!, `output ${k} begins after this much of the sweep, in 1/256`))
    })
  })
  return [...out, "", "#endif", ""].join("\n")
}

function title(rule: BehaviourRule, r: number, wires: readonly string[]): string {
  const group = comment(rule.group ?? "the group")
  const by = (list: readonly number[]) => list.map((i) => comment(wires[i]!)).join(" and ")
  if (rule.line === undefined)
    return `Line ${r}: ${group} stays dark between the flashes of ${by(rule.flashing ?? [])}. The first active line decides.`
  return `Line ${r}: ${group} when ${by(rule.live)} ${rule.live.length > 1 ? "are" : "is"} live (line ${rule.line + 1} of the programme).`
}

/** Wire and group names are plain words, but nothing may ever end a comment. */
const comment = (text: string) => text.replace(/[^\w -]/g, "_")

function tableSource(behaviour: Behaviour, pins: PackedPins, names: Names): string {
  const { inputs, channels, rules } = behaviour
  const order = channelOrder(pins)
  const wire = (i: number) => `INPUT_${names.inputs[i]}`
  const speaks = (c: number, r: number) => rules[r]!.targets.some((t) => t.channel === channels[c]!.index)
  const rows = [
    "\tbyte8 'L'",
    "\tbyte8 'T'",
    "\tbyte8 TABLE_VERSION",
    `\tbyte8 ${inputs.length}`,
    `\tbyte8 ${channels.length}`,
    `\tbyte8 ${rules.length}`,
    `\tword16 T_BODY + INPUT_SIZE*${inputs.length} + CHANNEL_SIZE*${channels.length} + RULE_SIZE*${rules.length} + TARGET_SIZE*${channels.length}*${rules.length} + 2`,
    "\tbyte8 LEAST_CODE",
    "\tbyte8 FLASH_TRUSTED",
    ...[
      "SHORTEST_ON",
      "STEADY_AFTER",
      "CONTACT_GAP",
      "OPERATION_GAP",
      "UNSTABLE_FOR",
      "FIVE_WITHIN",
      "HELD_BACK",
    ].map((t) => `\tword16 FLASH_${t}`),
    "",
    "; Wires: pin, flags, looks to live, looks to dead.",
    ...inputs.flatMap((_, i) => [
      `\tbyte8 ${wire(i)}_PIN`,
      `\tbyte8 ${wire(i)}_FLASHING*INPUT_FLASHING + ${wire(i)}_LOW_IS_LIVE*INPUT_INVERTED`,
      `\tbyte8 ${wire(i)}_LIVE_AFTER`,
      `\tbyte8 ${wire(i)}_DEAD_AFTER`,
    ]),
    "",
    "; Outputs: pin, flags, lines that speak of it.",
    ...order.flatMap((c, k) => [
      `\toutput_pin OUTPUT_${k}_PIN`,
      `\tbyte8 OUTPUT_${k}_HIGH_LIGHTS*CHANNEL_ACTIVE_HIGH`,
      `\tword16 0x${rulesOf(behaviour, channels[c]!.index).toString(16).padStart(4, "0")}`,
    ]),
    "",
    "; Lines, in the order of their rank.",
    ...rules.flatMap((rule, r) => {
      const sweeps = rule.sweepWithinMs !== undefined
      return [
        `\tbyte8 LINE_${r}_LIVE`,
        `\tbyte8 LINE_${r}_FLASHING`,
        sweeps
          ? `\tsweep_flags LINE_${r}_SWEEP_MEANT, LINE_${r}_RISE, LINE_${r}_FIRST_TOGETHER`
          : "\tbyte8 0",
        sweeps ? `\tbyte8 LINE_${r}_SHARE` : "\tbyte8 0",
        `\tword16 LINE_${r}_SWEEP`,
        sweeps ? `\tgain LINE_${r}_SWEEP_MEANT, LINE_${r}_RISE` : "\tword16 0",
        `\tslope LINE_${r}_RISE`,
        `\tslope LINE_${r}_FALL`,
      ]
    }),
    "",
    "; Level and start of every output, line by line.",
    ...rules.flatMap((rule, r) =>
      order.flatMap((c, k) =>
        speaks(c, r)
          ? [
              `\tbyte8 LINE_${r}_LEVEL`,
              `\tbyte8 ${rule.sweepWithinMs === undefined ? 0 : `LINE_${r}_START_${k}`}`,
            ]
          : ["\tword16 0"],
      ),
    ),
    "\tclose",
  ]
  const safe = [
    "\tbyte8 'L'",
    "\tbyte8 'S'",
    `\tbyte8 ${inputs.length}`,
    `\tbyte8 ${channels.length}`,
    ...inputs.flatMap((_, i) => [`\tbyte8 ${wire(i)}_PIN`, `\tbyte8 ${wire(i)}_LOW_IS_LIVE*INPUT_INVERTED`]),
    ...order.flatMap((c, k) => [
      `\tbyte8 OUTPUT_${k}_PIN`,
      `\tbyte8 OUTPUT_${k}_HIGH_LIGHTS*CHANNEL_ACTIVE_HIGH`,
      `\tbyte8 ${bitsOf(
        inputs.flatMap((_, i) => ((safeInputs(behaviour, channels[c]!.index) >> i) & 1 ? [i] : [])),
        wire,
      )}`,
    ]),
    "\tclose",
  ]
  return `; The lamp's table, its copy, the safe map and the build id, from the constants in lamp.h. The check-words are worked
; out by the assembler; layout.h says what stands where.

#include "layout.h"
#include "lamp.h"

.macro open
	.set crc, 0xFFFF
	.set last_pin, -1
.endm

; One byte, entered into the check-word (polynomial 0x1021).
.macro byte8 value:vararg
	.if ((\\value) < 0) || ((\\value) > 255)
	.error "a number in lamp.h does not fit into a byte"
	.endif
	.byte	\\value
	.set crc, crc ^ ((\\value) << 8)
	.rept 8
	.set crc, ((crc << 1) ^ (0x1021 * ((crc >> 15) & 1))) & 0xFFFF
	.endr
.endm

.macro word16 value:vararg
	byte8 ((\\value) & 0xFF)
	byte8 ((\\value) >> 8)
.endm

.macro close
	.byte	crc & 0xFF, crc >> 8
.endm

.macro output_pin pin:vararg
	.if (\\pin) <= last_pin
	.error "outputs must stand in the order of their pins: port by port, bit by bit"
	.endif
	.set last_pin, \\pin
	byte8 \\pin
.endm

; Part of 65536 that a change of so many milliseconds moves on in one of them; 0: at once.
.macro slope time:vararg
	.if (\\time) <= 1
	word16 0
	.elseif (\\time) <= 1000
	word16 ((65536 + (\\time) - 1) / (\\time))
	.else
	word16 ((2 * 65536 + (\\time)) / (2 * (\\time)))
	.endif
.endm

; Share of the sweep to share of the rise, in 1/256, of a steep rise in 1/16; 0: at once.
.macro gain sweep, rise
	.if \\rise <= 1
	word16 0
	.elseif (256 * \\sweep + \\rise - 1) / \\rise > 65535
	word16 ((16 * \\sweep + \\rise - 1) / \\rise)
	.else
	word16 ((256 * \\sweep + \\rise - 1) / \\rise)
	.endif
.endm

; Flags of a line with a sweep.
.macro sweep_flags sweep, rise, together
	.if \\rise <= 1
	byte8 RULE_SWEEP + (\\together) * RULE_FIRST_TOGETHER
	.elseif (256 * \\sweep + \\rise - 1) / \\rise > 65535
	byte8 RULE_SWEEP + (\\together) * RULE_FIRST_TOGETHER + RULE_STEEP
	.else
	byte8 RULE_SWEEP + (\\together) * RULE_FIRST_TOGETHER
	.endif
.endm

.macro lamp_rows
	open
${rows.join("\n")}
.endm

.section .lamp_table,"a",@progbits
.global lamp_table
lamp_table:
	lamp_rows

.section .lamp_copy,"a",@progbits
.global lamp_copy
lamp_copy:
	lamp_rows

.section .lamp_safe_map,"a",@progbits
.global lamp_safe_map
lamp_safe_map:
	open
${safe.join("\n")}

.section .lamp_build_id,"a",@progbits
.global lamp_build_id
lamp_build_id:
	.asciz	BUILD_ID
`
}

function buildScript({
  gcc,
  optimisation,
  ramStart,
  tableAt,
  copyAt,
  safeMapAt,
  buildIdAt,
}: Controller): string {
  const hex = (n: number) => `0x${n.toString(16)}`
  const blocks = [
    ["lamp_table", tableAt],
    ["lamp_copy", copyAt],
    ["lamp_safe_map", safeMapAt],
    ["lamp_build_id", buildIdAt],
  ] as const
  return `#!/bin/sh
# Builds lamp.hex from the sources beside this file.
# Needs avr-gcc, binutils and avr-libc (Debian: gcc-avr binutils-avr avr-libc); with avr-gcc 5.4.0 and nothing changed it
# gives the very bytes of the image in the pack.
set -eu
cd "$(dirname "$0")"
flags="-mmcu=${gcc} -DF_CPU=16000000UL ${optimisation} -std=gnu99 -Wall -Wextra -Werror -ffunction-sections -fdata-sections -fno-ident -fno-common"
objects=""
for source in main.c table.c safe-map.c inputs.c light.c dimming.S lamp-table.S; do
  avr-gcc $flags -c "$source" -o "\${source%.*}.o"
  objects="$objects \${source%.*}.o"
done
avr-gcc -mmcu=${gcc} -Wl,--gc-sections -Wl,--build-id=none -Wl,--section-start=.vitals=${hex(0x800000 + ramStart)} \\
  -Wl,-Tdata=${hex(0x800000 + ramStart + 16)} \\
${blocks.map(([name, at]) => `  -Wl,--undefined=${name} -Wl,--section-start=.${name}=${hex(at)} \\`).join("\n")}
  $objects -o lamp.elf
avr-objcopy -O ihex -j .text -j .data ${blocks.map(([name]) => `-j .${name}`).join(" ")} lamp.elf lamp.hex
rm -f $objects
avr-size lamp.elf
echo "lamp.hex is ready. Set the fuses as the build sheet says, write it, verify it, and try it on the bench first."
`
}

const readme = (
  { name }: Controller,
  buildId: string,
): string => `The lamp's program as source, for the ${name}. ${buildId}

  lamp.h        the lamp's own numbers: pins, times, levels, sweeps. Start here.
  lamp-table.S  puts these numbers where the program reads them, twice, with check-words
  layout.h      where everything lies in flash
  main.c        start, choice of the table, the millisecond
  inputs.c      wires: filter, on-times, flashers that misbehave
  light.c       which line decides, sweeps, rises and falls
  dimming.S     dimming at 4 kHz in counted cycles
  table.c       check of the table, at the start and while the lamp runs
  safe-map.c    what lights when table and copy are damaged
  build.sh      makes lamp.hex (avr-gcc, binutils and avr-libc)

Nothing changed, build.sh makes the same bytes as the image in the pack. Changed, it is your own program: nothing
that was proven about the lamp holds any more. Give it its own BUILD_ID, keep the fuses of the build sheet, and try it on
the bench with a fused supply: every wire alone, all together, taps, and the power cut in the middle of a flash. Wear eye
protection, disconnect the battery before wiring. A hand-built lamp is not type-approved; local law decides.
`
