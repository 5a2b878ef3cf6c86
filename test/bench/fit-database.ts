import { v7 } from 'uuid'
import type { Db } from '../../db/connect.ts'
import { refit } from '../../server/features/evidence/queries.ts'
import { fill, groupOf, onServer } from './group.ts'
import { cpuMs, type Line, met } from './measure.ts'

/**
 * The fit as the service makes it: reads all plates from PostgreSQL, works them out on a thread, writes its rows and takes
 * over. Processor time is this process's, all threads together, the database's own apart.
 */
export async function benchFitOfDatabase(
  sizes: readonly number[],
  goals: Record<number, { seconds: number; mb?: number }>,
): Promise<boolean> {
  const results: boolean[] = []
  for (const plates of sizes) results.push(await onServer((db) => benchOne(db, plates, goals[plates])))
  return results.every(Boolean)
}

async function benchOne(db: Db, plates: number, goal: { seconds: number; mb?: number } | undefined): Promise<boolean> {
  const memberId = v7()
  const member = {
    id: memberId,
    name: 'Bench',
    email: 'bench@group.example',
    passwordHash: '-',
    role: 'owner',
  } as const
  await db
    .insertInto('member')
    .values({ ...member, defaultPrinterId: null, defaultResinId: null })
    .execute()
  const group = groupOf(plates)
  await fill(db, group, memberId)
  console.log(`\n${plates} plates of ${group.files} files on ${group.printers} printers, in PostgreSQL`)
  const [began, before] = [performance.now(), cpuMs()]
  const { sweeps, rhat, effectiveSize } = await refit(db)
  const lines: Line[] = [
    { what: 'fit', value: (cpuMs() - before) / 1000, unit: 's', ...(goal && { goal: goal.seconds }) },
    { what: 'by the clock', value: (performance.now() - began) / 1000, unit: 's' },
    { what: 'sweeps', value: sweeps, unit: '' },
    { what: 'memory', value: process.resourceUsage().maxRSS / 1000, unit: 'MB', ...(goal?.mb && { goal: goal.mb }) },
    { what: 'R-hat, the worst', value: rhat, unit: '' },
    { what: 'effective size, the smallest', value: effectiveSize, unit: '' },
  ]
  return lines.map(met).every(Boolean)
}
