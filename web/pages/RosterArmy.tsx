import { Army, type Rank, stageWords } from '../parts/army.tsx'
import type { Errors } from '../parts/form.tsx'
import type { Stage } from '../parts/shadow.tsx'
import { type ArmyEntry, RosterCount } from './RosterCount.tsx'
import { type NextHere, RosterNext } from './RosterNext.tsx'

interface Props {
  rosterId: string
  ranks: Rank[]
  entries: ArmyEntry[]
  next: NextHere | null
  /** Something was counted just now. */
  isCounting: boolean
  /** Why the last press was refused. */
  errors: Errors
}

/** The army as it stands, how far its models have come, and what is next. */
export function RosterArmy({ ranks, next, ...count }: Props) {
  return (
    <section class="section" id="army" aria-labelledby="army-heading">
      <h2 class="visually-hidden" id="army-heading">
        The army
      </h2>
      <Army ranks={ranks} />
      <State ranks={ranks} entries={count.entries} />
      {next && <RosterNext next={next} />}
      <RosterCount {...count} />
    </section>
  )
}

const stages: Stage[] = ['painted', 'built', 'printed', 'to print', 'wanted']

/** "4 painted, 4 built, 5 printed, 9 to print, 3 wanted: no file yet" */
function State({ ranks, entries }: Pick<Props, 'ranks' | 'entries'>) {
  const counts = new Map<Stage, number>()
  for (const [stage, models] of ranks.flatMap((rank) => rank.counts))
    counts.set(stage, (counts.get(stage) ?? 0) + models)
  const toBuy = entries.reduce((sum, entry) => sum + (entry.standIns > 0 ? entry.toBuy : 0), 0)
  const toPrint = counts.get('to print') ?? 0
  return (
    <ul class="army-state" id="state">
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
  return toBuy === toPrint ? ', once their files are bought' : `, ${toBuy} once their files are bought`
}
