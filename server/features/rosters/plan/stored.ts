import { sql } from 'kysely'
import { v7 } from 'uuid'
import { z } from 'zod'
import type { Db } from '../../../../db/connect.ts'
import { conflict, notFound } from '../../../http/problem.ts'
import { checkInstance } from '../../../planning/check-instance.ts'
import type { Instance } from '../../../planning/instance.ts'
import type { Progress } from '../../../planning/plan-result.ts'
import { mostPlans, tooManyPlans } from './limits.ts'
import { type AskedPlan, askedPlan, type ComparedPlan, comparedPlan } from './schema.ts'
import { type Outcome, storedOutcome, storedProgress } from './stored-schema.ts'

/** A process that has said nothing for so long is taken for dead. */
export const silentS = 6
const isSilent = sql<boolean>`roster_plan.heartbeat_at < now() - make_interval(secs => ${silentS})`

/** Answers what is asked of a plan that an earlier version stored, and that can't be read any more. */
export const plannedEarlier = () => conflict('This roster was planned by an earlier version: plan it again.')

/** Plates of the plan's printer since its film was changed last; null where nobody noted when. */
const filmPlates = sql<number | null>`(
  select count(plate.id)::integer from (
    select printer_id, max(done_on) as done_on from upkeep
    where printer_id::text = outcome #>> '{printer,id}' and kind = 'film changed' group by printer_id
  ) changed
  left join plate on plate.printer_id = changed.printer_id and told and printed_on >= changed.done_on
  group by changed.printer_id
)`

const inJson = z.object({
  asked: askedPlan,
  outcome: storedOutcome,
  progress: storedProgress.nullable(),
  alternatives: z.array(comparedPlan),
})

const plans = (db: Db) =>
  db
    .selectFrom('rosterPlan')
    .innerJoin('roster', 'roster.id', 'rosterPlan.rosterId')
    .select(['rosterPlan.id', 'rosterPlan.rosterId', 'rosterPlan.state', 'asked', 'outcome', 'progress'])
    .select(['alternatives', 'startedAt', 'endedAt', isSilent.as('silent')])
    .select(filmPlates.as('filmPlates'))
    .select((eb) => eb('rosterPlan.listVersion', '<', eb.ref('roster.listVersion')).as('outOfDate'))

type PlanRow = Awaited<ReturnType<ReturnType<typeof plans>['executeTakeFirstOrThrow']>>

function planOf(row: PlanRow) {
  const read = inJson.safeParse(row)
  if (!read.success) return 'of an earlier version'
  return {
    ...row,
    state: row.state === 'running' && row.silent ? ('lost' as const) : row.state,
    outOfDate: Boolean(row.outOfDate),
    ...read.data,
  }
}

/**
 * A plan as it is stored, without the roster that it was made from.
 *
 * @returns null where the roster was never planned, "of an earlier version" where what is stored can't be read
 */
export async function storedPlan(db: Db, rosterId: string) {
  const row = await plans(db).where('rosterPlan.rosterId', '=', rosterId).executeTakeFirst()
  return row ? planOf(row) : null
}

/** Those of these rosters' plans that can be read, by roster. */
export async function storedPlans(db: Db, rosterIds: readonly string[]): Promise<Map<string, StoredPlan>> {
  const rows = await plans(db).where('rosterPlan.rosterId', 'in', rosterIds).execute()
  return new Map(
    rows.flatMap((row) => {
      const plan = planOf(row)
      return typeof plan === 'string' ? [] : [[row.rosterId, plan] as const]
    }),
  )
}

export type StoredPlan = Extract<ReturnType<typeof planOf>, object>

/** What the plan was made from. @throws Problem 404, 409 where an earlier version made it */
export async function instanceOf(db: Db, rosterId: string): Promise<Instance> {
  const row = await db.selectFrom('rosterPlan').select('instance').where('rosterId', '=', rosterId).executeTakeFirst()
  if (!row) throw notFound('plan')
  const instance = row.instance as Instance
  try {
    checkInstance(instance)
  } catch {
    throw plannedEarlier()
  }
  return instance
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
    id,
    listVersion: plan.listVersion,
    state: 'running' as const,
    asked: JSON.stringify(plan.asked),
    instance: JSON.stringify(plan.instance),
    outcome: JSON.stringify(plan.outcome),
    progress: null,
    alternatives: '[]',
    stopAsked: false,
    endedAt: null,
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

const beingSolved = () => conflict('This roster is being planned just now. Wait for the plan, or stop it first.')

/**
 * The offers that the roster's last plan goes by.
 *
 * @throws Problem 409 as `claimPlan`, which spares the work until then; or where as many others of its owner's as may be
 *   are being solved
 */
export async function earlierOffers(db: Db, rosterId: string): Promise<string[]> {
  const found = await db
    .selectFrom('roster')
    .leftJoin('rosterPlan', 'rosterPlan.rosterId', 'roster.id')
    .select((eb) => eb.and([eb('state', '=', 'running'), eb.not(isSilent)]).as('isRunning'))
    .select(sql<unknown>`outcome -> 'result' -> 'plan' -> 'offers'`.as('offers'))
    .select(othersRunning.as('othersRunning'))
    .where('roster.id', '=', rosterId)
    .executeTakeFirst()
  if (found?.isRunning) throw beingSolved()
  if (found && found.othersRunning >= mostPlans) throw tooManyPlans()
  const offers = z.array(z.object({ offerId: z.string() })).safeParse(found?.offers)
  return offers.data?.map(({ offerId }) => offerId) ?? []
}

/** How many other rosters of the same owner's are being solved. */
const othersRunning = sql<number>`(
  select count(*)::integer from roster_plan join roster other on other.id = roster_plan.roster_id
  where other.owner_id = roster.owner_id and other.id <> roster.id and state = 'running' and not ${isSilent}
)`

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
