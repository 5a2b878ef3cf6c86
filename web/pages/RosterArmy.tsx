import { Army, type Rank } from '../parts/army.tsx'
import { ArmyState } from '../parts/army-state.tsx'
import type { Errors } from '../parts/form.tsx'
import { type ArmyEntry, RosterCount } from './RosterCount.tsx'
import { type NextHere, RosterNext } from './RosterNext.tsx'

interface Props {
  rosterId: string
  ranks: Rank[]
  /** Models whose file is still to be bought. */
  toBuy: number
  entries: ArmyEntry[]
  next: NextHere | null
  /** Something was counted just now. */
  isCounting: boolean
  /** Why the last press was refused. */
  errors: Errors
}

/** The army as it stands, how far its models have come, and what is next. */
export function RosterArmy({ ranks, toBuy, next, ...count }: Props) {
  return (
    <section class="section" id="army" aria-labelledby="army-heading">
      <h2 class="visually-hidden" id="army-heading">
        The army
      </h2>
      <Army ranks={ranks} />
      <ArmyState id="state" ranks={ranks} toBuy={toBuy} />
      {next && <RosterNext next={next} />}
      <RosterCount {...count} />
    </section>
  )
}
