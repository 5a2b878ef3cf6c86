import type { Fitted } from '../../server/scoring/fit.ts'
import { type Stage, stages } from '../../server/scoring/labels.ts'
import { likelyFrom } from '../../server/scoring/verdict.ts'
import { Mean, Reliability } from './measures.ts'
import type { World } from './world.ts'

/** Failed copies of a plate: one, two, three, four and more. */
export const failedCopies = ['1', '2', '3', '4 +'] as const

/** How true verdicts are. */
export type Verdicts = {
  /** whether the stage with the largest share is the one that truly has it */
  named: Mean
  /** squared distance of the three shares from the true ones */
  brier: Mean
  /** by stage, its share as said and as it was */
  reliability: Record<Stage, Reliability>
  /** by stage and failed copies, how often "Most likely" is right */
  mostLikely: Record<Stage, Mean[]>
}

export function noVerdicts(): Verdicts {
  const by = <Of>(make: () => Of) => ({ file: make(), machine: make(), plate: make() })
  return {
    named: new Mean(),
    brier: new Mean(),
    reliability: by(() => new Reliability()),
    mostLikely: by(() => failedCopies.map(() => new Mean())),
  }
}

/** Holds the verdict on every plate in the fit against what truly happened. */
export function judgeVerdicts(verdicts: Verdicts, world: Pick<World, 'causes'>, fitted: Fitted): void {
  fitted.layout.plateIds.forEach((id, plate) => {
    const truth = world.causes.get(id)
    const said = sharesOf(fitted, plate)
    if (!truth || !said) return
    const { shares, failed } = said
    const largest = indexOfLargest(shares)
    const isRight = truth[largest] === Math.max(...truth) ? 1 : 0
    verdicts.named.add(isRight)
    verdicts.brier.add(shares.reduce((sum, share, stage) => sum + (share - (truth[stage] ?? 0)) ** 2, 0))
    stages.forEach((stage, at) => {
      verdicts.reliability[stage].add(shares[at] ?? 0, truth[at] ?? 0)
    })
    const stage = stages[largest] ?? 'file'
    if ((shares[largest] ?? 0) > likelyFrom) verdicts.mostLikely[stage][Math.min(failed, 4) - 1]?.add(isRight)
  })
}

/** A plate's shares: those of its prints by their failed copies. */
function sharesOf({ layout, blame }: Fitted, plate: number): { shares: number[]; failed: number } | undefined {
  const shares = [0, 0, 0]
  let failed = 0
  for (let print = layout.plateStart[plate] ?? 0; print < (layout.plateStart[plate + 1] ?? 0); print++) {
    const copies = (layout.printStart[print + 1] ?? 0) - (layout.printStart[print] ?? 0)
    const [file, machine] = [blame.file[print] ?? 0, blame.machine[print] ?? 0]
    failed += copies
    ;[file, machine, 1 - file - machine].forEach((share, stage) => {
      shares[stage] = (shares[stage] ?? 0) + copies * share
    })
  }
  return failed === 0 ? undefined : { shares: shares.map((share) => share / failed), failed }
}

const indexOfLargest = (values: readonly number[]) => values.indexOf(Math.max(...values))
