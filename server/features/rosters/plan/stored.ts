import { sql } from 'kysely'
import { v7 } from 'uuid'
import type { Db } from '../../../../db/connect.ts'
import type { Crowding, SupportKind } from '../../../../db/tables.ts'
import { conflict, notFound } from '../../../http/problem.ts'
import type { Instance } from '../../../planning/instance.ts'
import type { NaivePlans } from '../../../planning/naive.ts'
import type { PlanResult, Progress } from '../../../planning/plan-result.ts'
import type { PrintEstimate } from '../../../planning/printing.ts'
import type { AskedPlan, ComparedPlan } from './schema.ts'

/** One entry of a plan as it is printed. */
export interface PlannedPrint {
  entryId: string
  fileId: string
  kind: SupportKind
  /** whole copies to print, and the resin of these */
  copies: number
  resinMl: number
  /** copies that fail on average; these are charged. Missing in plans that were made before it was kept */
  expectedFailures?: number
  /** null without a printer of the member's own */
  estimate: PrintEstimate | null
}

export interface Naive {
  kind: keyof NaivePlans
  offersMinor: number
  printMinor: number
  looksMinor: number
  uncovered: number
}

/** What a plan has come to; kept as JSON. */
export interface Outcome {
  result: PlanResult
  prints: PlannedPrint[]
  naive: Naive[]
  printer: { id: string; name: string } | null
  crowding: Crowding
  withoutRate: { offerId: string; currency: string }[]
  hurdles: Record<string, string>
}

/** A process that has said nothing for so long is taken for dead. */
export const silentS = 6
const isSilent = sql<boolean>`roster_plan.heartbeat_at < now() - make_interval(secs => ${silentS})`

/** A plan as it is stored, without the roster that it was made from. */
export async function storedPlan(db: Db, rosterId: string) {
  const row = await db
    .selectFrom('rosterPlan')
    .innerJoin('roster', 'roster.id', 'rosterPlan.rosterId')
    .select(['rosterPlan.id', 'rosterPlan.rosterId', 'rosterPlan.state', 'asked', 'outcome', 'progress'])
    .select(['alternatives', 'startedAt', 'endedAt', isSilent.as('silent')])
    .select((eb) => eb('rosterPlan.listVersion', '<', eb.ref('roster.listVersion')).as('outOfDate'))
    .where('rosterPlan.rosterId', '=', rosterId)
    .executeTakeFirst()
  if (!row) return null
  return {
    ...row,
    state: row.state === 'running' && row.silent ? ('lost' as const) : row.state,
    outOfDate: Boolean(row.outOfDate),
    asked: row.asked as AskedPlan,
    outcome: row.outcome as Outcome,
    progress: row.progress as Progress | null,
    alternatives: row.alternatives as ComparedPlan[],
  }
}

export type StoredPlan = NonNullable<Awaited<ReturnType<typeof storedPlan>>>

/** What the plan was made from. @throws Problem 404 */
export async function instanceOf(db: Db, rosterId: string): Promise<Instance> {
  const row = await db.selectFrom('rosterPlan').select('instance').where('rosterId', '=', rosterId).executeTakeFirst()
  if (!row) throw notFound('plan')
  return row.instance as Instance
}

/**
 * Notes that a plan is being solved, in the place of the one before.
 *
 * @returns its id
 * @throws Problem 409 while another one is, by a process that is alive
 */
export async function claimPlan(
  db: Db,
  rosterId: string,
  plan: { listVersion: number; asked: AskedPlan; instance: Instance; outcome: Outcome },
): Promise<string> {
  const id = v7()
  const row = {
    ...{ id, listVersion: plan.listVersion, state: 'running' as const, asked: JSON.stringify(plan.asked) },
    ...{ instance: JSON.stringify(plan.instance), outcome: JSON.stringify(plan.outcome), progress: null },
    ...{ alternatives: '[]', stopAsked: false, endedAt: null },
  }
  const done = await db
    .insertInto('rosterPlan')
    .values({ rosterId, ...row })
    .onConflict((conflicting) =>
      conflicting
        .column('rosterId')
        .doUpdateSet({ ...row, startedAt: sql`now()`, heartbeatAt: sql`now()` })
        .where((eb) => eb.or([eb('rosterPlan.state', '=', 'done'), isSilent])),
    )
    .executeTakeFirst()
  if (done.numInsertedOrUpdatedRows === 0n) throw beingSolved()
  return id
}

const beingSolved = () => conflict('A plan of this roster is being solved just now. Stop it first, or wait for it.')

/** Spares the work of a plan that would be refused in the end. @throws Problem 409 as `claimPlan` */
export async function expectNoneRunning(db: Db, rosterId: string): Promise<void> {
  if ((await storedPlan(db, rosterId))?.state === 'running') throw beingSolved()
}

/**
 * Notes that a plan is still being solved, how far it has come, and a better one than before if there is any.
 *
 * @returns whether it is to be stopped; null when it is no longer the roster's plan
 */
export async function beat(
  db: Db,
  id: string,
  { progress, outcome }: { progress: Progress | null; outcome: Outcome | null },
): Promise<boolean | null> {
  const row = await db
    .updateTable('rosterPlan')
    .set({ heartbeatAt: sql`now()`, progress: progress && JSON.stringify(progress) })
    .$if(outcome !== null, (query) => query.set({ outcome: JSON.stringify(outcome) }))
    .where('id', '=', id)
    .where('state', '=', 'running')
    .returning('stopAsked')
    .executeTakeFirst()
  return row?.stopAsked ?? null
}

/** Keeps what a plan has come to, unless another one is there in its place. */
export async function endPlan(db: Db, id: string, outcome: Outcome): Promise<void> {
  await db
    .updateTable('rosterPlan')
    .set({ state: 'done', outcome: JSON.stringify(outcome), endedAt: sql`now()` })
    .where('id', '=', id)
    .execute()
}

/** Asks whichever process solves the plan to end it. */
export async function askToStop(db: Db, rosterId: string): Promise<void> {
  await db
    .updateTable('rosterPlan')
    .set({ stopAsked: true })
    .where('rosterId', '=', rosterId)
    .where('state', '=', 'running')
    .execute()
}

export async function keepAlternatives(db: Db, id: string, alternatives: ComparedPlan[]): Promise<void> {
  await db
    .updateTable('rosterPlan')
    .set({ alternatives: JSON.stringify(alternatives) })
    .where('id', '=', id)
    .execute()
}
