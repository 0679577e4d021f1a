import { test } from "vitest"
import { lookAtLamps } from "./random-lamps.testing.ts"

test("random lamps 501 to 1000", { timeout: 1_200_000 }, () => lookAtLamps(501, 1000))
