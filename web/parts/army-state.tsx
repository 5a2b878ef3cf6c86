import { type Rank, stageWords } from './army.tsx'
import type { Stage } from './shadow.tsx'

const stages: Stage[] = ['painted', 'built', 'printed', 'to print', 'wanted']

interface Props {
  id?: string
  ranks: Pick<Rank, 'counts'>[]
  /** Of those that are to be printed, models whose file is still to be bought. */
  toBuy: number
}

/** "4 painted, 4 built, 5 printed, 9 to print, 3 wanted: no file yet" */
export function ArmyState({ id, ranks, toBuy }: Props) {
  const counts = new Map<Stage, number>()
  for (const [stage, models] of ranks.flatMap((rank) => rank.counts))
    counts.set(stage, (counts.get(stage) ?? 0) + models)
  const toPrint = counts.get('to print') ?? 0
  return (
    <ul class="army-state" id={id}>
      {stages
        .filter((stage) => counts.has(stage))
        .map((stage) => (
          <li key={stage}>
            <strong>{counts.get(stage)}</strong> {stageWords[stage]}
            {stage === 'to print' && buyWords(toBuy, toPrint)}
          </li>
        ))}
    </ul>
  )
}

/** Of those that are to be printed, how many have to be bought first. */
function buyWords(toBuy: number, toPrint: number): string {
  if (toBuy === 0) return ''
  const once = toBuy === 1 ? 'once its file is bought' : 'once their files are bought'
  return toBuy === toPrint ? `, ${once}` : `, ${toBuy} ${once}`
}
