import { test } from "vitest"
import { lookAtLamps } from "./random-lamps.testing.ts"

test("random lamps 1501 to 2000", { timeout: 1_200_000 }, () => lookAtLamps(1501, 2000))
