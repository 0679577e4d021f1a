// Which step of the walk is open.

import { createStore, useStore } from "zustand"

export const steps = ["lamp", "wires", "face", "groups", "light", "margins", "pack"] as const
export type StepName = (typeof steps)[number]

export const walk = createStore<{ readonly step: StepName | undefined }>()(() => ({ step: undefined }))
export const useWalk = () => useStore(walk, (s) => s.step)
