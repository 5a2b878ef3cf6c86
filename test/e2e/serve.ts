import { mkdtemp, rm } from 'node:fs/promises'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Db } from '../../db/connect.ts'
import { makeDemo } from '../../db/demo/index.ts'
import { buildApp } from '../../server/app.ts'
import { refit } from '../../server/features/evidence/queries.ts'
import { hashPassword } from '../../server/features/people/members/passwords.ts'
import { buildAssets } from '../../web/build.ts'
import { withoutLimits } from '../support/app.ts'

/** The day on which the demo group lives here: the same day, the same year behind it, the same pictures. */
export const today = '2026-10-01'
export const demoPassword = 'print it again'

/** The service as a browser finds it: listening on loopback, with the real bundles. */
export interface Served {
  url: string
  close(): Promise<void>
}

/** Listens on a free port over a migrated database; the day is always `today`. */
export async function serve(db: Db): Promise<Served> {
  const folder = await mkdtemp(join(tmpdir(), 'understudy-e2e-'))
  const manifest = await buildAssets({ outDir: folder })
  const now = () => new Date(`${today}T18:00:00Z`)
  const logLevel = process.env.TEST_LOG ?? 'silent'
  const app = await buildApp({ db, assets: { folder, manifest }, logLevel, writeLimits: withoutLimits, now })
  await app.listen({ port: 0, host: '127.0.0.1' })
  return {
    url: `http://127.0.0.1:${(app.server.address() as AddressInfo).port}`,
    async close() {
      app.server.closeAllConnections()
      await app.close()
      await rm(folder, { recursive: true, force: true })
    },
  }
}

/** Serves the demo group, with all that its reports tell. */
export async function serveDemo(db: Db): Promise<Served> {
  await makeDemo(db, { today, passwordHash: await hashPassword(demoPassword) })
  await refit(db)
  return serve(db)
}
