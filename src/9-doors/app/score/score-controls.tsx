// Playing the score: start, steps, speed, loop, and how much of the time is seen.

import { Button, ToggleButton } from "react-aria-components"
import { Choice } from "../choice.tsx"
import { play, usePlay } from "../play.ts"
import { step } from "../play-keys.ts"
import { MeasuredWords } from "./measured-words.tsx"
import { NowTime, NowWords } from "./now.tsx"

const speeds: readonly (readonly [number, string])[] = [
  [1, "Real time"],
  [0.25, "1/4"],
  [0.05, "1/20"],
]

export function ScoreControls() {
  const playing = usePlay((s) => s.playing)
  const length = usePlay((s) => s.length)
  const speed = usePlay((s) => s.speed)
  const loop = usePlay((s) => s.loop)
  const none = length === 0
  const { seek, setPlaying, setSpeed, setLoop } = play.getState()
  const move = (by: number) => seek(play.getState().time + by)
  return (
    <div className="score-controls">
      <Button className="play-button" isDisabled={none} onPress={() => setPlaying(!playing)}>
        {playing ? "Pause" : "Play"}
      </Button>
      <Button className="quiet" isDisabled={none} aria-label="Step back 10 ms" onPress={() => move(-step)}>
        −10 ms
      </Button>
      <Button className="quiet" isDisabled={none} aria-label="Step on 10 ms" onPress={() => move(step)}>
        +10 ms
      </Button>
      {!none && (
        <p className="now">
          <NowTime />
          <NowWords />
          <MeasuredWords />
        </p>
      )}
      <Choice label="Speed" options={speeds} value={speed} choose={setSpeed} isDisabled={none} />
      <ToggleButton className="toggle" isSelected={loop} onChange={setLoop} isDisabled={none}>
        Loop
      </ToggleButton>
    </div>
  )
}
