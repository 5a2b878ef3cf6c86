import { Problem } from '../../../http/problem.ts'
import { againS, refusals } from './rules.ts'

/** More comes in at once than can be taken. A form that it happens to comes back as it was typed. */
export class TurnedAway extends Problem {
  constructor() {
    super(503, refusals['too many at once'], { retryAfterS: againS, keepsForm: true })
  }
}

/** As a gate refuses. */
export const refusal = () => new TurnedAway()
