// The page: header, description, bench, score and margins. Each part fails alone.

import { Bench } from "./bench/bench.tsx"
import { Description } from "./description/description.tsx"
import { Header } from "./header.tsx"
import { Margins } from "./margins/margins.tsx"
import { Part } from "./part.tsx"
import { Score } from "./score/score.tsx"
import { usePage } from "./store.ts"

export function App() {
  const tab = usePage((s) => s.leftTab)
  return (
    <div className="page" data-left={tab}>
      <Part name="header">
        <Header />
      </Part>
      <Part name="description">
        <Description />
      </Part>
      <Part name="bench">
        <Bench />
      </Part>
      <Part name="score">
        <Score />
      </Part>
      <Part name="margins">
        <Margins />
      </Part>
    </div>
  )
}
