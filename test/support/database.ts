import { cpSync } from 'node:fs'
import { rm } from 'node:fs/promises'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { inject } from 'vitest'
import { type Db, type OpenDatabase, openDatabase, type Place } from '../../db/connect.ts'
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

/** A copy of the template that nobody has opened yet: migrated and empty, unless it is one of `templateOf`. */
export async function freshPlace(template = inject('template')): Promise<FreshPlace> {
  const suffix = `${process.pid}_${made++}`
  return template.kind === 'embedded' ? copyFolder(template, suffix) : copyDatabase(template, suffix)
}

/** What takes its time to fill is filled once, and copied as often as it is needed; it goes at the end of the run. */
export async function templateOf(fill: (db: Db) => Promise<unknown>): Promise<Template> {
  const { place } = await freshPlace()
  const { db, close } = await openDatabase(place)
  await fill(db)
  await close()
  const template = inject('template')
  if (template.kind === 'embedded') return { ...template, dataDir: place.dataDir ?? '' }
  return { ...template, name: new URL(place.url ?? '').pathname.slice(1) }
}

/** Such a copy, open. `close` also removes it. */
export async function freshDatabase(template?: Template): Promise<OpenDatabase & { place: Place }> {
  const { place, remove } = await freshPlace(template)
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
