import { sql } from 'kysely'
import type { Db } from '../../db/connect.ts'
import { FitWork } from '../../server/features/evidence/fit-work.ts'
import { refit } from '../../server/features/evidence/queries.ts'

const tables = {
  line_draws: 'file_id',
  sculptor_draws: 'sculptor_id',
  period_draws: 'period_id',
  plate_wear: 'plate_id',
  print_blame: 'print_id',
}

/** Everything that the fit keeps whose rows count: by table, each row's id and a sum of what is in it but its number. */
export async function keptRows(db: Db): Promise<Record<string, string[]>> {
  const kept: Record<string, string[]> = {}
  for (const [table, id] of Object.entries(tables)) {
    const { rows } = await sql<{ row: string }>`
      select ${sql.raw(id)} || ' ' || md5((to_jsonb(own) - 'fit')::text) as row from ${sql.raw(table)} own
      where fit = (select fit from scoring_fit) order by row`.execute(db)
    kept[table] = rows.map(({ row }) => row)
  }
  return kept
}

/** By chain; each keeps half of a fit's 400 draws, so that these are all of them. */
export const fewSweeps = 200

/**
 * A fit as short as can be, whatever the last one was like, on the thread of the test: for what becomes of its figures.
 * How true they are is for test/scoring.
 */
export async function refitHere(db: Db) {
  await db.updateTable('scoringFit').set({ rhat: null }).execute()
  return refit(db, { place: () => new FitWork(fewSweeps) })
}
