// Half of the random lamps; the other half stands beside it, so that both run at once.

import { differentialSuite } from "./differential.testing.ts"

differentialSuite(1)
