// The metal of a lamp that is not whole yet: edges and holes of every face that can be read.

import { plain } from "../words.ts"
import { usePicking } from "./picking.ts"

export function FacesSeen() {
  const faces = usePicking((s) => s.faces)
  if (faces.length === 0) return null
  return (
    <div className="faces-seen">
      {faces.map((face) => {
        const xs = face.outline.map((p) => p.x)
        const ys = face.outline.map((p) => -p.y)
        const [left, top] = [Math.min(...xs), Math.min(...ys)]
        const [w, h] = [Math.max(...xs) - left, Math.max(...ys) - top]
        const ring = (points: readonly { x: number; y: number }[]) =>
          `M${points.map((p) => `${p.x} ${-p.y}`).join("L")}Z`
        const words = `${plain(face.name)}, ${face.ledHoles.length} LED holes`
        return (
          <figure key={face.name}>
            <svg viewBox={`${left - 2} ${top - 2} ${w + 4} ${h + 4}`} role="img" aria-label={words}>
              <path
                className="pick-plate"
                d={[face.outline, ...face.windows].map(ring).join("")}
                fillRule="evenodd"
              />
              {[...face.ledHoles, ...face.screwHoles].map((o) => (
                <circle key={o.id} className="pick-screw" cx={o.x} cy={-o.y} r={o.diameter / 2} />
              ))}
            </svg>
            <figcaption>{words}</figcaption>
          </figure>
        )
      })}
    </div>
  )
}
