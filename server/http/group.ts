import { sql } from 'kysely'
import type { Db } from '../../db/connect.ts'
import { kept } from '../../web/parts/kept.ts'

/** What the group has laid down for itself; every page and every sum of money needs it. */
export type Group = NonNullable<Awaited<ReturnType<typeof readGroup>>>

/** What a whole unit of each foreign currency is worth in the group's own now, by its code: the newest rate of each. */
const rates = sql<Record<string, number>>`(
  select coalesce(json_object_agg(currency, worth), '{}')
  from (select distinct on (currency) currency, worth from rate order by currency, seen_on desc) newest
)`

/** All but its name, which other tables have as well. */
export const groupColumns = [
  ...(['currency', 'locale', 'timeZone', 'isDemo', 'groupSettings.version', 'looksWorthMinor'] as const),
  ...(['resinGramsPerMl', 'resinPricePerKgMinor', 'resinMlPerModel', 'cleanUpMinor'] as const),
  ...(['cleanUpPerPlateMinor', 'perPlateMinor', 'timePerHourMinor'] as const),
  rates.as('rates'),
] as const

/** @returns undefined while the installation is empty */
export async function readGroup(db: Db) {
  return db
    .selectFrom('groupSettings')
    .select(['name', ...groupColumns])
    .executeTakeFirst()
}

/**
 * As `readGroup`, where the group is known to exist. A route that lets members in has it read already, with the member
 * (`Viewer.group`); this is for what changes the group, and for what nobody asked for.
 */
export async function groupOf(db: Db): Promise<Group> {
  const group = await readGroup(db)
  if (!group) throw new Error('the installation has members but no group')
  return group
}

/** The group's day at an instant, `YYYY-MM-DD`. */
export const todayIn = (timeZone: string, now: Date) => dayForm(timeZone).format(now)

const dayForm = kept(
  (timeZone: string) =>
    new Intl.DateTimeFormat('en-CA', { timeZone, year: 'numeric', month: '2-digit', day: '2-digit' }),
)
