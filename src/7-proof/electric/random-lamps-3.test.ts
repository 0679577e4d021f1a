import { test } from "vitest"
import { lookAtLamps } from "./random-lamps.testing.ts"

test("random lamps 1001 to 1500", { timeout: 1_200_000 }, () => lookAtLamps(1001, 1500))
