import { randomBytes } from 'node:crypto'
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { openDatabase } from '../db/connect.ts'
import { FolderInUse } from '../db/folder-lock.ts'
import { migrate, NewerDatabase } from '../db/migrate.ts'
import type { Manifest } from '../web/assets.ts'
import { buildApp } from './app.ts'
import { ConfigError, readConfig } from './config.ts'
import { readGroup } from './http/group.ts'

const root = join(import.meta.dirname, '..')

function stop(message: string): never {
  console.error(message)
  process.exit(1)
}

async function start(): Promise<void> {
  if (Number(process.versions.node.split('.')[0]) < 24)
    stop(`Understudy needs Node.js 24, this is ${process.versions.node}. "npm start" brings its own after "npm ci".`)
  const config = readConfig(process.env)
  const database = await openDatabase({ url: config.databaseUrl, dataDir: config.dataDir })
  await migrate(database.db)
  if (config.demo && !(await readGroup(database.db))) {
    const { makeDemo } = await import('../db/demo/index.ts')
    await makeDemo(database.db)
  }
  const isEmpty = !(await readGroup(database.db))
  const setupCode = isEmpty && !config.isLoopback ? randomBytes(9).toString('base64url') : undefined
  const app = await buildApp({ db: database.db, assets: builtAssets(), ...config, setupCode })

  let stopping = false
  const close = async (signal: string) => {
    if (stopping) return
    stopping = true
    app.log.info(`${signal}: finishing what is in flight`)
    await app.close()
    await database.close()
  }
  for (const signal of ['SIGTERM', 'SIGINT'] as const) process.on(signal, () => void close(signal))

  const address = await app.listen({ port: config.port, host: config.host })
  console.log(`Understudy listens at ${address}`)
}

function builtAssets(): { folder: string; manifest: Manifest } {
  const folder = join(root, 'web/assets')
  const path = join(folder, 'manifest.json')
  if (!existsSync(path)) stop('The pages are not built yet. Run "npm run build" first, or "npm start".')
  return { folder, manifest: JSON.parse(readFileSync(path, 'utf8')) as Manifest }
}

start().catch((error: unknown) => {
  if (error instanceof ConfigError || error instanceof FolderInUse || error instanceof NewerDatabase)
    stop(error.message)
  console.error(error)
  process.exit(1)
})
