import type { Db } from '../../db/connect.ts'
import { kept } from '../../web/parts/kept.ts'

/** What the group has settled for itself; every page and every sum of money needs it. */
export type Group = NonNullable<Awaited<ReturnType<typeof readGroup>>>

/** @returns undefined while the installation is empty */
export async function readGroup(db: Db) {
  return db
    .selectFrom('groupSettings')
    .select(['name', 'currency', 'locale', 'timeZone', 'looksWorthMinor', 'resinGramsPerMl', 'resinPricePerKgMinor'])
    .select([
      'resinMlPerModel',
      'cleanUpMinor',
      'cleanUpPerPlateMinor',
      'perPlateMinor',
      'timePerHourMinor',
      'isDemo',
      'createdAt',
      'version',
    ])
    .executeTakeFirst()
}

/** As `readGroup`, where the group is known to exist: whoever is signed in belongs to it. */
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
