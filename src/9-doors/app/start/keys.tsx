// Every key, in sight: what it does and where. The keys of wires are those of the lamp on the bench.

import { usePage } from "../store.ts"
import { wireKeys } from "../vehicle.ts"

const groups: readonly (readonly [string, readonly (readonly [string, string])[]])[] = [
  [
    "Anywhere",
    [
      ["Ctrl Z", "undo"],
      ["Ctrl Shift Z, Ctrl Y", "redo"],
      ["Ctrl S", "save the description"],
      ["Ctrl Shift S", "save as another file"],
      ["?", "this list"],
      ["Tab, Shift Tab", "on to the next thing, or back"],
    ],
  ],
  [
    "Playing",
    [
      ["Space", "play or pause"],
      ["←, →", "10 ms back or on"],
    ],
  ],
  [
    "On the bench",
    [
      ["+, −", "closer or farther"],
      ["0", "all of it"],
      ["Shift with arrows", "move what lies there"],
      ["Space with the pointer", "move what lies there"],
      [". and ,", "pick the next thing in view, or the one before"],
      ["Enter", "go to what is picked"],
      ["Escape", "let it go"],
    ],
  ],
  [
    "Measuring",
    [
      ["Shift M", "begin or end"],
      ["arrows", "from hole to hole"],
      ["Enter", "set a point"],
    ],
  ],
  [
    "Moving parts",
    [
      ["arrows", "move the picked part"],
      ["R", "turn it"],
      ["Enter", "hold it there"],
      ["Escape", "leave it"],
    ],
  ],
  [
    "In a field",
    [
      ["↑, ↓", "more or less"],
      ["Enter", "take the value"],
      ["Escape", "leave it as it was"],
    ],
  ],
  [
    "In the text",
    [
      ["Ctrl Space", "words that can stand here"],
      ["Ctrl Enter", "work it out now"],
    ],
  ],
  [
    "In the margins",
    [
      ["↑, ↓, Home, End", "from one to the next"],
      ["Enter", "why, and what to do"],
    ],
  ],
  [
    "Picking holes",
    [
      ["arrows", "to the next hole that way"],
      ["Space", "give it to the group, or take it back"],
    ],
  ],
]

export function Keys() {
  const lamp = usePage((s) => s.played?.made.lamp)
  const wires = lamp ? wireKeys(lamp) : []
  return (
    <section aria-labelledby="keys" className="keys">
      <h2 id="keys" tabIndex={-1}>
        Keys
      </h2>
      {groups.map(([where, keys]) => (
        <div key={where}>
          <h3>{where}</h3>
          <dl>
            {keys.map(([key, does]) => (
              <div key={key}>
                <dt>{key}</dt>
                <dd>{does}</dd>
              </div>
            ))}
            {where === "Playing" &&
              wires.map(({ wire, key }) => (
                <div key={wire}>
                  <dt>{key.toUpperCase()}, held</dt>
                  <dd>{wire} wire the other way</dd>
                </div>
              ))}
          </dl>
        </div>
      ))}
    </section>
  )
}
