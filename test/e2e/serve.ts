import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Db } from '../../db/connect.ts'
import { type AppParts, buildApp } from '../../server/app.ts'
import { fillDemo as fill } from '../../server/demo.ts'
import { hashPassword } from '../../server/features/people/members/passwords.ts'
import type { PictureStore } from '../../server/features/printing/pictures/store.ts'
import { buildAssets } from '../../web/build.ts'
import { demoPassword } from '../../web/parts/demo-accounts.ts'
import { withoutLimits } from '../support/app.ts'
import { freshDatabase, type Template, templateOf } from '../support/database.ts'
import { demoStore } from '../support/demo-store.ts'

/** The day on which the demo group lives here: the same day, the same year behind it, the same pictures. */
export const today = '2026-10-01'

/** The service as a browser finds it: listening on loopback, with the real bundles. */
export interface Served {
  url: string
  close(): Promise<void>
}

/** The demo group's pictures, for all that are served in this process: nobody takes one out. */
let pictures: Promise<PictureStore> | undefined
let assets: Promise<AppParts['assets']> | undefined

/** The bundles, built once for all that are served in this process. */
async function builtAssets(): Promise<AppParts['assets']> {
  const folder = mkdtempSync(join(tmpdir(), 'understudy-e2e-'))
  process.once('exit', () => rmSync(folder, { recursive: true, force: true }))
  const manifest = await buildAssets({ outDir: folder })
  return { folder, manifest, style: readFileSync(join(folder, manifest.css), 'utf8') }
}

/** Listens on a free port, or on this one, over a migrated database; the day is always `today`. */
export async function serve(db: Db, port = 0): Promise<Served> {
  assets ??= builtAssets()
  pictures ??= demoStore()
  const now = () => new Date(`${today}T18:00:00Z`)
  const logLevel = process.env.TEST_LOG ?? 'silent'
  const app = await buildApp({
    db,
    assets: await assets,
    pictures: await pictures,
    logLevel,
    writeLimits: withoutLimits,
    now,
  })
  await app.listen({ port, host: '127.0.0.1' })
  return {
    url: `http://127.0.0.1:${(app.server.address() as AddressInfo).port}`,
    async close() {
      app.server.closeAllConnections()
      await app.close()
    },
  }
}

/** The demo group as the service begins with it, on that day. */
export const fillDemo = async (db: Db) => fill(db, { today, passwordHash: await hashPassword(demoPassword) })

let demo: Promise<Template> | undefined

/** Serves a demo group of its own, copied from one that is made once. */
export async function serveDemo(): Promise<Served & { db: Db; restart(): Promise<void> }> {
  demo ??= templateOf(fillDemo)
  const { db, close: closeDatabase } = await freshDatabase(await demo)
  let running = await serve(db)
  const { url } = running
  return {
    url,
    db,
    /** Another process, as far as a browser can tell, over the same database. */
    async restart() {
      await running.close()
      running = await serve(db, Number(new URL(url).port))
    },
    async close() {
      await running.close()
      await closeDatabase()
    },
  }
}
