import { sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import { often } from '../../../db/often.ts'
import {
  type Draws,
  drawsOfMachineInOrder,
  type GroupDraws,
  groupDrawsBeforeReports,
  unpackGroupDraws,
} from '../../scoring/draws.ts'
import { seenLabels } from '../../scoring/labels.ts'
import { storedReals } from './kept.ts'

/** What the group as a whole is like by its last fit. */
export interface GroupModel {
  /** whose rows count; 0 before the first */
  fit: number
  isFitted: boolean
  group: GroupDraws
  /** any machine of the group after upkeep */
  machineInOrder: Draws
  /** plates that the fit does not know, or not as they are now */
  notCounted: number
  /** whether any plate was told at all */
  hasReports: boolean
}

/** How many plates no fit knows as they are now: before the first one all of them. */
export const notCounted = sql<number>`case when fit > 0
  then (select count(distinct plate_id) from fit_mark) else (select count(*) from plate where told) end`

/**
 * What everything else rests on; read it once for a request and hand it on. Rows of the last fit but one stay until the
 * next one begins, so whoever reads on by this number still finds them after a swap.
 */
export async function groupModel(db: Db): Promise<GroupModel> {
  const at = new Map(cached)
  const [row] = await readModel(db, { known: [...at.keys()] })
  if (!row) throw new Error('the row of the scoring is missing')
  const { key: known, groupDraws, ...counts } = row
  const found = at.get(known) ?? unpacked(known, groupDraws)
  return { ...counts, isFitted: row.fit > 0, ...found }
}

/** A process may have several databases, so the number alone does not tell fits apart. */
const key = sql<string>`fit || ' ' || coalesce(fitted_at::text, '')`

type Stored = Omit<GroupModel, keyof Unpacked | 'isFitted'> & { key: string; groupDraws: Buffer | null }

const readModel = often(
  (_, { known }: { known: string[] }) => sql<Stored>`
    select fit, ${notCounted} as not_counted, exists (select from plate where told) as has_reports, ${key} as key,
      case when not ${key} = any(${known}::text[]) then group_draws end as group_draws
    from scoring_fit`,
)

type Unpacked = Pick<GroupModel, 'group' | 'machineInOrder'>

/** What was unpacked stays as it is; a process needs the newest one, and for a moment the one before. */
const cached = new Map<string, Unpacked>()
const mostCached = 4

function unpacked(known: string, stored: Buffer | null): Unpacked {
  const group = stored ? unpackGroupDraws(storedReals(stored), Object.keys(seenLabels)) : groupDrawsBeforeReports()
  const found = { group, machineInOrder: drawsOfMachineInOrder(group) }
  cached.set(known, found)
  const [oldest] = cached.keys()
  if (cached.size > mostCached && oldest !== undefined) cached.delete(oldest)
  return found
}
