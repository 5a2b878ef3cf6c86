import { sql } from 'kysely'
import { type Db, often } from '../../../db/connect.ts'
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
  const { rows } = await sql<{ fit: number; made: string; notCounted: number; hasReports: boolean }>`
    select ${often} fit, coalesce(fitted_at::text, '') as made, ${notCounted} as not_counted,
      exists (select from plate where told) as has_reports
    from scoring_fit`.execute(db)
  const { fit, made, ...counts } = rows[0] ?? missing()
  return { fit, isFitted: fit > 0, ...(fit > 0 ? await unpacked(db, fit, made) : beforeReports()), ...counts }
}

type Unpacked = Pick<GroupModel, 'group' | 'machineInOrder'>

/** What was unpacked stays as it is; a process needs the newest one, and for a moment the one before. */
const cached = new Map<string, Unpacked>()
const mostCached = 4

async function unpacked(db: Db, fit: number, made: string): Promise<Unpacked> {
  // A process may have several databases, so the number alone does not tell fits apart.
  const key = `${fit} ${made}`
  const known = cached.get(key)
  if (known) return known
  const row = await db.selectFrom('scoringFit').select(['groupDraws', 'fit']).executeTakeFirstOrThrow()
  const group = unpackGroupDraws(storedReals(row.groupDraws ?? missing()), Object.keys(seenLabels))
  const found = { group, machineInOrder: drawsOfMachineInOrder(group) }
  // Overtaken between the two questions: what was read is the next fit's.
  if (row.fit !== fit) return found
  cached.set(key, found)
  if (cached.size > mostCached) cached.delete(cached.keys().next().value ?? key)
  return found
}

let before: Unpacked | undefined

function beforeReports(): Unpacked {
  if (before) return before
  const group = groupDrawsBeforeReports()
  before = { group, machineInOrder: drawsOfMachineInOrder(group) }
  return before
}

function missing(): never {
  throw new Error('the row of the scoring is missing')
}
