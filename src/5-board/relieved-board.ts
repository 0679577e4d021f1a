// A board request with its strain relief: the slots stand among those described, so that parts, copper, cutter
// programs and the proof treat them alike.

import type { Finding } from "../0-ground/finding.ts"
import type { BoardRequest, Face, Lamp } from "../2-lamp/artefact.ts"
import { state } from "./board-findings.ts"
import { notchedOutline, wholeOutline } from "./board-frame.ts"
import { reliefSlots } from "./relief-slots.ts"

/** Room an LED takes round its hole's middle, mm: its body and lands. */
const ledRoom = 3.6
/** Room a screw's head or spacer takes outside its hole, mm. */
const screwRoom = 2

export function relievedBoard(
  lamp: Lamp,
  request: BoardRequest,
  face: Face | undefined,
  wires: number,
): { request: BoardRequest; findings: readonly Finding[] } {
  const whole = wholeOutline(request, face)
  if (!request.wiresAt || request.relief === "none" || wires === 0 || !whole) return { request, findings: [] }
  const leds = lamp.groups
    .filter((g) => request.carries.includes(g.name))
    .flatMap((g) => g.leds.map((l) => ({ x: l.hole.x, y: l.hole.y, radius: ledRoom })))
  const screws = [...request.screws, ...(request.behind && face ? face.screwHoles : [])].map((s) => ({
    x: s.x,
    y: s.y,
    radius: s.diameter / 2 + screwRoom,
  }))
  const slots = (request.slots ?? []).flatMap((s) =>
    [s.from, s.to].map((p) => ({ x: p.x, y: p.y, radius: s.width / 2 })),
  )
  const pair = reliefSlots({
    // From the edge as it was before the notch the wires pass; what is cut out of it is no place for a slot.
    ring: whole,
    edge: notchedOutline(request, whole),
    at: request.wiresAt,
    taken: [...leds, ...screws, ...slots],
    wires,
    router: lamp.cutter.router.diameter,
  })
  const where = {
    text: `board ${request.name}, where its wires leave`,
    path: `boards.${request.name}.wires-at`,
    board: request.name,
    ...request.wiresAt,
    frame: "face" as const,
  }
  if (!pair)
    return {
      request,
      findings: [
        state("strain-relief", {
          severity: "amber",
          title: `${request.name}: no room for the slots of a cable tie near the place where its ${wires} wires leave`,
          where,
        }),
      ],
    }
  return {
    request: { ...request, slots: [...(request.slots ?? []), ...pair] },
    findings: [
      state("strain-relief", {
        severity: "green",
        title: `${request.name}: two slots beside its ${wires} wires take a cable tie that keeps pull off the pads`,
        where,
        advice:
          "Tie the bundle down through both slots before the lamp is closed; leave the wires a little slack behind the tie.",
      }),
    ],
  }
}
