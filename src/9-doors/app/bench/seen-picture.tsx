// The lamp as an eye sees it from 25 m behind, by day and by night; enlarged. A tap picks the LED there.

import { useLayoutEffect, useMemo, useRef } from "react"
import { showNumber } from "../../../0-ground/text/show.ts"
import type { Face, Lamp } from "../../../2-lamp/artefact.ts"
import type { Beam } from "../../../7-proof/artefact.ts"
import { colours, looks, seenColour, seenFrom, times } from "../../../8-pack/draw.ts"
import { lightColour } from "../light.ts"
import { pick } from "../picking.ts"

interface Props {
  readonly lamp: Lamp
  readonly beam: Beam
  readonly picked: readonly string[]
}

export function SeenPictures({ lamp, beam, picked }: Props) {
  const group = lamp.groups.find((g) => g.name === beam.group)
  const face = lamp.faces.find((f) => f.name === group?.face)
  const seen = useMemo(() => face && seenFrom(face, beam), [face, beam])
  if (!group || !face || !seen) return null
  const rgb = colours[lightColour(group.led)]
  return (
    <section className="seen" aria-label="As seen from 25 m">
      <h3>From 25 m</h3>
      {times.map((eye) => (
        <SeenPicture
          key={eye.name}
          eye={eye}
          seen={seen}
          face={face}
          group={group}
          rgb={rgb}
          picked={picked}
        />
      ))}
      <p className="view-words">
        Straight behind, usual light, enlarged; an eye's blur of half a minute of arc and its scatter. Do not
        look into LEDs at full current from near.
      </p>
    </section>
  )
}

interface PictureProps {
  readonly eye: (typeof times)[number]
  readonly seen: ReturnType<typeof seenFrom>
  readonly face: Face
  readonly group: Lamp["groups"][number]
  readonly rgb: readonly [number, number, number]
  readonly picked: readonly string[]
}

function SeenPicture({ eye, seen, face, group, rgb, picked }: PictureProps) {
  const canvas = useRef<HTMLCanvasElement>(null)
  const { columns, lines, pixel, left, top, brightest } = seen
  useLayoutEffect(() => {
    const ctx = canvas.current?.getContext("2d")
    if (!ctx) return
    ctx.setTransform(1, 0, 0, 1, 0, 0)
    ctx.fillStyle = eye.around
    ctx.fillRect(0, 0, columns, lines)
    ctx.setTransform(1 / pixel, 0, 0, -1 / pixel, -left / pixel, top / pixel)
    ctx.fillStyle = eye.face
    ctx.beginPath()
    for (const p of face.outline) ctx.lineTo(p.x, p.y)
    ctx.fill()
    const picture = ctx.getImageData(0, 0, columns, lines)
    for (let i = 0; i < columns * lines; i++) {
      const s = looks(seen.map[i]!, eye)
      if (s <= 0.01) continue
      const { colour, cover } = seenColour(rgb, s)
      for (let k = 0; k < 3; k++)
        picture.data[4 * i + k] = colour[k]! * cover + picture.data[4 * i + k]! * (1 - cover)
    }
    ctx.putImageData(picture, 0, 0)
  }, [eye, seen, face, rgb, columns, lines, pixel, left, top])
  const contrast = brightest / eye.used
  const onClick = (event: React.MouseEvent<SVGElement>) => {
    const box = event.currentTarget.getBoundingClientRect()
    const mm = (pixel * columns) / box.width
    const [x, y] = [left + (event.clientX - box.left) * mm, top - (event.clientY - box.top) * mm]
    const far = group.leds.map((l) => ({ ref: l.ref, d: Math.hypot(l.hole.x - x, l.hole.y - y) }))
    const near = far.sort((a, b) => a.d - b.d)[0]
    if (near && near.d < Math.max(6, 14 * mm)) pick({ kind: "led", name: near.ref })
  }
  return (
    <figure>
      <div className="seen-frame">
        <canvas ref={canvas} width={columns} height={lines} />
        {/* biome-ignore lint/a11y/useKeyWithClickEvents: comma and full stop pick LEDs by key */}
        <svg
          viewBox={`${left} ${-top} ${columns * pixel} ${lines * pixel}`}
          role="img"
          aria-label={`The lamp from 25 m by ${eye.name}`}
          onClick={onClick}
        >
          {group.leds
            .filter((l) => picked.includes(l.ref))
            .map((l) => (
              <circle
                key={l.ref}
                className="place-ring"
                data-seen-led={l.ref}
                cx={l.hole.x}
                cy={-l.hole.y}
                r={Math.max(4, l.hole.diameter)}
              />
            ))}
        </svg>
      </div>
      <figcaption>
        By {eye.name}: {showNumber(brightest, 2)} cd/m² at most,{" "}
        {contrast >= 1 ? `${showNumber(contrast, 2)} times` : `${showNumber(100 * contrast, 2)} % of`} what
        the eye is used to{contrast < 0.5 ? ": hard to see" : ""}
      </figcaption>
    </figure>
  )
}
