import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { type Db, openDatabase } from '../db/connect.ts'
import { demoPictures } from '../db/demo/pictures.ts'
import { FolderInUse } from '../db/folder-lock.ts'
import { migrate, NewerDatabase } from '../db/migrate.ts'
import type { Manifest } from '../web/assets.ts'
import { demoAccounts, demoPassword } from '../web/parts/demo-accounts.ts'
import { type AppParts, buildApp } from './app.ts'
import { blaming, ConfigError, readConfig } from './config.ts'
import { fillDemo } from './demo.ts'
import { makeSetupCode } from './features/people/group/queries.ts'
import { hashPassword } from './features/people/members/passwords.ts'
import type { PictureStore } from './features/printing/pictures/store.ts'
import { pictureStore } from './features/printing/pictures/stores.ts'
import { rehearse } from './features/rosters/plan/at-start.ts'
import { dayOf } from './http/day.ts'
import { readGroup } from './http/group.ts'
import { startJobs } from './jobs/index.ts'

const root = join(import.meta.dirname, '..')

function stop(message: string): never {
  console.error(message)
  process.exit(1)
}

async function start(): Promise<void> {
  if (Number(process.versions.node.split('.')[0]) < 24)
    stop(`Understudy needs Node.js 24, this is ${process.versions.node}. "npm start" brings its own after "npm ci".`)
  const config = readConfig(process.env)
  const place = { url: config.databaseUrl, dataDir: config.dataDir }
  const blamed = blaming(config.databaseUrl ? 'DATABASE_URL' : 'DATA_DIR')
  const database = await openDatabase(place).catch(blamed)
  await migrate(database.db).catch(blamed)
  const pictures = await pictureStore(config)
  if (config.demo && !(await readGroup(database.db))) await startDemo(database.db, pictures)
  const group = await readGroup(database.db)
  if (group?.isDemo && config.opening)
    throw new ConfigError(
      `The database can't be used while ${config.opening}: it holds the demo group, whose passwords are public. Use another DATA_DIR.`,
    )
  const asksSetupCode = config.opening !== undefined
  const setupCode = asksSetupCode && !group ? await makeSetupCode(database.db) : undefined
  const app = await buildApp({
    db: database.db,
    ready: database.ready,
    assets: builtAssets(),
    ...config,
    pictures,
    asksSetupCode,
  })

  const jobs = await startJobs({ database, pictures, log: app.log })

  let stopping = false
  let rehearsal = Promise.resolve()
  const close = async (signal: string) => {
    if (stopping) return
    stopping = true
    app.log.info(`${signal}: finishing what is in flight`)
    await Promise.all([app.close(), jobs.stop(), rehearsal])
    await database.close()
  }
  for (const signal of ['SIGTERM', 'SIGINT'] as const) process.on(signal, () => void close(signal))

  const address = await app.listen({ port: config.port, host: config.host }).catch(whoseFault)
  console.log(`Understudy listens at ${address}`)
  // Where it fails, the first to plan is told why.
  rehearsal = rehearse(database.db).catch((error: unknown) => app.log.warn({ err: error }, 'rehearsal'))
  if (group?.isDemo)
    console.log(
      `This is the demo group: sign in as ${demoAccounts.map(({ email }) => email).join(', ')}, password "${demoPassword}".`,
    )
  if (!group) console.log(`It is empty: open ${config.publicUrl ?? address}/setup to set up your group.`)
  if (setupCode) console.log(`The set-up page asks for this code: ${setupCode}`)
}

/** Of listening: a port may be taken or not for us, a host not ours. */
function whoseFault(error: unknown): never {
  const { code } = error as { code?: unknown }
  return blaming(code === 'EADDRINUSE' || code === 'EACCES' ? 'PORT' : 'HOST')(error)
}

/** The invented group for an empty installation, with its pictures. */
async function startDemo(db: Db, pictures: PictureStore): Promise<void> {
  console.log('Making the demo group …')
  for await (const { name, bytes } of demoPictures()) await pictures.put(name, bytes)
  await fillDemo(db, { today: dayOf(new Date()), passwordHash: await hashPassword(demoPassword) })
}

function builtAssets(): AppParts['assets'] {
  const folder = join(root, 'web/assets')
  const path = join(folder, 'manifest.json')
  if (!existsSync(path)) stop('The pages are not built yet. Run "npm run build" first, or "npm start".')
  const manifest = JSON.parse(readFileSync(path, 'utf8')) as Manifest
  return { folder, manifest, style: readFileSync(join(folder, manifest.css), 'utf8') }
}

start().catch((error: unknown) => {
  if (error instanceof ConfigError || error instanceof FolderInUse || error instanceof NewerDatabase)
    stop(error.message)
  console.error(error)
  process.exit(1)
})
