import { test } from "vitest"
import { lookAtLamps } from "./random-lamps.testing.ts"

test("random lamps 1 to 500", { timeout: 1_200_000 }, () => lookAtLamps(1, 500))
