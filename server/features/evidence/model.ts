import { sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import { often } from '../../../db/often.ts'
import type { Draws } from '../../scoring/draws.ts'
import {
  drawsOfMachineInOrder,
  type GroupDraws,
  groupDrawsBeforeReports,
  unpackGroupDraws,
} from '../../scoring/group-draws.ts'
import { seenLabels } from '../../scoring/labels.ts'
import { storedReals } from './storing.ts'

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
  const at = knownModels()
  const [row] = await readModel(db, { known: [...at.keys()] })
  if (!row) throw new Error('the row of the scoring is missing')
  const { key, groupDraws, ...counts } = row
  return { ...counts, isFitted: row.fit > 0, ...modelOf({ key, groupDraws }, at) }
}

/** What tells a fit's draws of the group from others, and those draws if they are not known. */
export interface StoredModel {
  key: string
  groupDraws: Buffer | null
}

/** The group's draws for a statement that reads other things of the same fit, as columns of `scoring_fit`. */
export const modelColumns = (known: readonly string[]) => sql`${key} as key,
  case when not ${key} = any(${known}::text[]) then scoring_fit.group_draws end as group_draws`

/** The fits whose draws this process has unpacked: handed to a statement, and back to `modelOf` with its answer. */
export const knownModels = (): ReadonlyMap<string, Unpacked> => new Map(cached)

/** @param known what the statement was told that it need not send */
export const modelOf = ({ key, groupDraws }: StoredModel, known: ReadonlyMap<string, Unpacked>): Unpacked =>
  known.get(key) ?? unpacked(key, groupDraws)

/** A process may have several databases, so the number alone does not tell fits apart. */
const key = sql<string>`scoring_fit.fit || ' ' || coalesce(scoring_fit.fitted_at::text, '')`

type Stored = Omit<GroupModel, keyof Unpacked | 'isFitted'> & StoredModel

const readModel = often(
  (_, { known }: { known: string[] }) => sql<Stored>`
    select fit, ${notCounted} as not_counted, exists (select from plate where told) as has_reports, ${modelColumns(known)}
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
