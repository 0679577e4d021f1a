// The lampwright command: what the user typed goes to one small file per command.
// Exit codes: 0 nothing red, 1 the description (or the call) could not be read, 2 red findings.

import { Command, CommanderError } from "commander"
import { alignBoard } from "./align-command.ts"
import { serveApp } from "./app-command.ts"
import { checkLamp } from "./check-command.ts"
import { compareLamps } from "./compare-command.ts"
import { findFault } from "./find-command.ts"
import { identify } from "./identify-command.ts"
import { inspectPrograms } from "./inspect-command.ts"
import { makePack } from "./make-command.ts"
import { newLamp } from "./new-command.ts"
import { playWires } from "./play-command.ts"
import { Refusal } from "./refusal.ts"
import { type ShrinkAsk, shrinkOnTerminal } from "./shrink-command.ts"
import { warpToSurface } from "./warp-command.ts"
import { whyFigure } from "./why-command.ts"

const cautions =
  "Cautions: wear eye protection at the mill and the bench, use a fused supply, disconnect the battery before wiring.\n" +
  "A hand-built lamp is not type-approved; local law and licensed practice decide whether it may be used on the road."

const firstWords =
  "take the first whole boards: done in seconds, with more wire links than a longer search leaves"

const program = new Command("lampwright")
  .description(
    "Turns one description of a one-off 12 V vehicle lamp into proven electronics, firmware, boards and cutter programs.",
  )
  .version(__LAMPWRIGHT_VERSION__)
  .addHelpText("after", `\n${cautions}`)
  .showSuggestionAfterError()
  .exitOverride()

program
  .command("new")
  .argument("<dir>", "folder to start in; made when it is not there")
  .option("--from <example>", "which example to start from: tern, marker or front", "tern")
  .description("start a lamp from an example")
  .action((dir: string, o: { from: string }) => finish(newLamp(dir, o.from)))

program
  .command("check")
  .argument("<lamp>", "the description (YAML)")
  .option("--json", "print the whole report as JSON")
  .option("--first", firstWords)
  .description("design and prove; print findings, thinnest margin first")
  .action((lamp: string, o: { json?: boolean; first?: boolean }) =>
    finish(checkLamp(lamp, o.json === true, o.first === true)),
  )

program
  .command("make")
  .argument("<lamp>", "the description (YAML)")
  .requiredOption("--out <dir>", "folder for the pack")
  .option("--keep-going", "write cutter programs and firmware even when a finding is red (marked DO NOT CUT)")
  .option("--first", firstWords)
  .option("--pdf <paper>", "also write the build sheet as a PDF for a4 or letter paper")
  .description("make the pack: boards, cutter programs, firmware, parts list, drawings, build sheet, report")
  .action((lamp: string, o: { out: string; keepGoing?: boolean; first?: boolean; pdf?: string }) =>
    finish(makePack(lamp, o.out, { ...o, keepGoing: o.keepGoing === true, first: o.first === true })),
  )

program
  .command("why")
  .argument("<lamp>", "the description (YAML)")
  .argument(
    "[figure]",
    "id of a figure, a part (R1), a group (how it is driven, and what lost) or a reading of the bring-up (B1); left out: list the figures",
  )
  .description("print how a figure came about: formula, inputs, source")
  .action((lamp: string, figure?: string) => finish(whyFigure(lamp, figure)))

program
  .command("find")
  .argument("<lamp>", "the description (YAML)")
  .argument(
    "[readings]",
    "bring-up.csv with the column measured filled in; left out: the latest under built: in the description",
  )
  .description("name the likeliest faults behind the readings taken at the bench")
  .action((lamp: string, readings?: string) => finish(findFault(lamp, readings)))

program
  .command("identify")
  .argument("<hex>", "the flash of a controller, read back as Intel HEX")
  .argument("[against...]", "packs (folders) or descriptions it may come from")
  .description("tell which build is in a chip, whether every byte is right, and which pack it comes from")
  .action((hex: string, against: string[]) => finish(identify(hex, against)))

program
  .command("align")
  .argument("<lamp>", "the description (YAML)")
  .argument("<face>", "name of the face that was measured")
  .argument(
    "<holes>",
    "CSV with the columns hole, x and y: measured middles in mm, x right, y up as seen from the road",
  )
  .description("how to shift and turn the board behind a real face, and which LEDs will bind")
  .action((lamp: string, face: string, holes: string) => finish(alignBoard(lamp, face, holes)))

program
  .command("compare")
  .argument("<before>", "the earlier revision: a description (YAML) or a pack's folder")
  .argument("<after>", "the later revision, likewise")
  .option("--all", "list every changed figure, not only those that changed most")
  .option("--history <file>", "also put what changed at the head of this Markdown file")
  .option(
    "--title <words>",
    "how the later revision is called there, for example: B, 25 November, wider sweep",
  )
  .option("--json", "print the comparison as JSON")
  .description("what changed between two revisions: figures, findings, parts, and what must be made again")
  .action(
    (before: string, after: string, o: { all?: boolean; history?: string; title?: string; json?: boolean }) =>
      finish(compareLamps(before, after, o)),
  )

program
  .command("play")
  .argument("<lamp>", "the description (YAML)")
  .option(
    "--wires <file>",
    "vehicle wires over time, recorded as VCD: variables named as the wires, one bit wide or real in volts; left out: a short demonstration",
  )
  .option("--vcd <file>", "write wires and light levels as VCD")
  .option(
    "--csv <file>",
    "write wires, every controller output and every LED against time as CSV; light as a share of full current",
  )
  .option("--seconds <n>", "how long to run")
  .description("run the firmware image on the bench; light levels over time")
  .action((lamp: string, o: { wires?: string; vcd?: string; csv?: string; seconds?: string }) =>
    finish(playWires(lamp, o)),
  )

program
  .command("inspect")
  .argument("<lamp>", "the description (YAML)")
  .argument("<board>", "name of the board the programs are for, or of the shared sheet: sheet-1")
  .argument(
    "<programs...>",
    "cutter programs, ours, edited or made elsewhere; those not given are taken as designed",
  )
  .option(
    "--heights <csv>",
    "measured surface: x, y, z in mm on a grid, or a controller's log; without it the described flatness counts",
  )
  .option("--first <x,y,z>", "where the first place of the heights lies, when the log counts otherwise")
  .option(
    "--tool <file=tool...>",
    "what a program is for when it does not say: engrave, drill:0.8 or outline",
  )
  .option("--picture <svg>", "draw the board as these programs cut it, with every fault ringed")
  .option("--json", "print proof and findings as JSON")
  .description("judge any cutter program against the lamp's netlist")
  .action(
    (
      lamp: string,
      board: string,
      programs: string[],
      o: { heights?: string; first?: string; tool?: string[]; picture?: string; json?: boolean },
    ) => finish(inspectPrograms(lamp, board, programs, o)),
  )

program
  .command("shrink")
  .argument("<lamp>", "the description (YAML)")
  .argument("[board]", "name of the board; left out: the only one with an outline of its own")
  .option("--links <n>", "do not count sizes that need more wire links than this")
  .option("--out <file>", "write the description with the smallest outline here")
  .description("how small a board can become until it no longer places, routes and cuts")
  .action((lamp: string, board: string | undefined, o: ShrinkAsk) => finish(shrinkOnTerminal(lamp, board, o)))

program
  .command("warp")
  .argument("<program>", "a cutter program of moves, arcs and drilling cycles")
  .requiredOption("--heights <csv>", "measured surface: x, y, z in mm on a grid, or a controller's log")
  .option("--first <x,y,z>", "where the first place of the heights lies, when the log counts otherwise")
  .option("--picture <svg>", "draw the surface and what straight lines between its places do not catch")
  .option("--out <file>", "write the bent program here; left out: to the terminal")
  .description("the program bent to a measured surface")
  .action((path: string, o: { heights: string; first?: string; picture?: string; out?: string }) =>
    finish(warpToSurface(path, o)),
  )

program
  .command("app")
  .argument("[lamp]", "a description (YAML) to open in the app; it and its drawings are read, never written")
  .option("--port <n>", "port on this machine", "4780")
  .description("the app on localhost")
  .action((lamp: string | undefined, o: { port: string }) => finish(serveApp(o.port, lamp)))

try {
  await program.parseAsync(process.argv)
} catch (error) {
  if (error instanceof CommanderError) process.exitCode = error.exitCode === 0 ? 0 : 1
  else refuse(error)
}

/** Sets the exit code of a command; tells a refusal in one line, without a stack. */
async function finish(command: Promise<number>): Promise<void> {
  try {
    process.exitCode = await command
  } catch (error) {
    refuse(error)
  }
}

function refuse(error: unknown): void {
  if (error instanceof Refusal) process.stderr.write(`lampwright: ${error.message}\n`)
  else {
    const what = error instanceof Error ? `${error.name}: ${error.message}` : String(error)
    process.stderr.write(
      `lampwright: this should not happen; please report it with the description.\n  ${what}\n`,
    )
    if (process.env.LAMPWRIGHT_TRACE && error instanceof Error) process.stderr.write(`${error.stack}\n`)
  }
  process.exitCode = 1
}
