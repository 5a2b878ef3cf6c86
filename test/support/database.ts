import { cpSync } from 'node:fs'
import { rm } from 'node:fs/promises'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { inject } from 'vitest'
import { type OpenDatabase, openDatabase, type Place } from '../../db/connect.ts'
import { once } from './postgres.ts'

/** What global-setup.ts hands to the test files. */
export type Template =
  | { kind: 'postgresql'; server: string; name: string }
  | { kind: 'embedded'; folder: string; dataDir: string }

declare module 'vitest' {
  export interface ProvidedContext {
    template: Template
  }
}

export interface FreshPlace {
  /** For `openDatabase`, or for the environment of a process of its own (DATABASE_URL or DATA_DIR). */
  place: Place
  remove(): Promise<void>
}

let made = 0

/** A migrated, empty database that nobody has opened yet. */
export async function freshPlace(): Promise<FreshPlace> {
  const template = inject('template')
  const suffix = `${process.pid}_${made++}`
  return template.kind === 'embedded' ? copyFolder(template, suffix) : copyDatabase(template, suffix)
}

/** A migrated, empty database, open. `close` also removes it. */
export async function freshDatabase(): Promise<OpenDatabase & { place: Place }> {
  const { place, remove } = await freshPlace()
  const opened = await openDatabase(place)
  return {
    ...opened,
    place,
    async close() {
      await opened.close()
      await remove()
    },
  }
}

function copyFolder(template: { folder: string; dataDir: string }, suffix: string): FreshPlace {
  const dataDir = join(template.folder, `copy_${suffix}`)
  cpSync(template.dataDir, dataDir, { recursive: true })
  return { place: { dataDir }, remove: () => rm(dataDir, { recursive: true, force: true }) }
}

async function copyDatabase({ server, name }: { server: string; name: string }, suffix: string): Promise<FreshPlace> {
  const copy = `${name}_${suffix}`
  await once(server, `create database ${copy} template ${name}`)
  const url = new URL(server)
  url.pathname = `/${copy}`
  return { place: { url: url.href }, remove: () => drop(server, copy) }
}

/** A connection that was just closed may still count for a moment, and `with (force)` would kill it with a noise. */
async function drop(server: string, name: string): Promise<void> {
  const isInUse = (error: unknown) => (error as { code?: string }).code === '55006'
  for (;;) {
    try {
      await once(server, `drop database if exists ${name}`)
      return
    } catch (error) {
      if (!isInUse(error)) throw error
      await sleep(20)
    }
  }
}
