import { randomUUID } from 'node:crypto'
import { existsSync, readFileSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { ownIdentity, type ProcessIdentity, stillRuns } from './process-identity.ts'

/**
 * The embedded database does not notice when a second process opens its folder, and both then spoil it. So whoever
 * opens it holds a lock file. A process that was killed leaves its file behind; the next one must see through that,
 * also in a container, where the number of the process is 1 every time.
 */
const lockName = 'in-use.json'
const beatMs = 3_000
const fourBeatsMs = 4 * beatMs

interface Holder extends ProcessIdentity {
  id: string
  since: string
}

/** Another process has the folder open. The message says which. */
export class FolderInUse extends Error {
  override name = 'FolderInUse'
  constructor(folder: string, holder: Holder | undefined) {
    const who = holder ? `process ${holder.pid} on ${holder.host} since ${holder.since}` : 'a process that is starting'
    super(`The folder ${folder} is in use by ${who}. Stop that one first, or choose another folder.`)
  }
}

/**
 * Takes the lock of a folder, also from a holder that is gone. Where that can't be seen (another container, another
 * machine, or this one before it was started anew), watches whether the holder touches its file, as it does every
 * three seconds.
 *
 * @param silenceMs how long to watch before an untouched lock is taken over
 * @returns lets go of the lock
 * @throws FolderInUse
 */
export async function holdFolder(folder: string, silenceMs = fourBeatsMs): Promise<() => void> {
  const path = join(folder, lockName)
  const own: Holder = { id: randomUUID(), since: new Date().toISOString(), ...ownIdentity() }
  while (!writeNew(path, JSON.stringify(own))) {
    const found = await readHolder(path)
    if (found === 'vanished') continue
    const gone = found === undefined || (await isGone(path, found, silenceMs))
    if (!gone) throw new FolderInUse(folder, found)
    removeStale(path, found)
    await sleep(20)
  }
  return keepAlive(path, own)
}

/** @returns undefined when the file has stood there unreadable: its writer was killed between making and filling it */
async function readHolder(path: string): Promise<Holder | 'vanished' | undefined> {
  for (let attempt = 0; attempt < 20; attempt++) {
    const text = readOrNull(path)
    if (text === null) return 'vanished'
    try {
      return JSON.parse(text)
    } catch {
      await sleep(100)
    }
  }
  return undefined
}

async function isGone(path: string, holder: Holder, silenceMs: number): Promise<boolean> {
  const runs = stillRuns(holder)
  return runs === undefined ? staysSilent(path, silenceMs) : !runs
}

async function staysSilent(path: string, silenceMs: number): Promise<boolean> {
  const before = touchedAt(path)
  for (let waited = 0; waited < silenceMs; waited += 250) {
    await sleep(250)
    if (touchedAt(path) !== before) return false
  }
  return true
}

/**
 * Removes the file of a holder that is gone. Two processes may have come to that conclusion at once; the second must
 * not remove the lock that the first has taken meanwhile. So looking again and removing happen under a lock of their
 * own, which lasts for less than a millisecond.
 */
function removeStale(path: string, stale: Holder | undefined): void {
  const guard = `${path}.taking`
  if (!writeNew(guard, '')) {
    // Left by a process that was killed in that very millisecond?
    const age = Date.now() - (touchedAt(guard) ?? Date.now())
    if (age > 10_000) rmSync(guard, { force: true })
    return
  }
  try {
    const text = readOrNull(path)
    const unchanged = text !== null && (stale ? text.includes(stale.id) : !text.endsWith('}'))
    if (unchanged) rmSync(path)
  } finally {
    rmSync(guard, { force: true })
  }
}

function keepAlive(path: string, own: Holder): () => void {
  const beat = setInterval(() => {
    const now = new Date()
    try {
      if (isOwn(path, own)) utimesSync(path, now, now)
    } catch {
      // The folder has been taken away under us, or the disk fails: whatever uses the database will say so.
    }
  }, beatMs).unref()
  return () => {
    clearInterval(beat)
    if (isOwn(path, own)) rmSync(path, { force: true })
  }
}

function isOwn(path: string, own: Holder): boolean {
  return readOrNull(path)?.includes(own.id) ?? false
}

/** @returns false when the file is there already */
function writeNew(path: string, text: string): boolean {
  try {
    writeFileSync(path, text, { flag: 'wx' })
    return true
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'EEXIST') return false
    throw error
  }
}

function readOrNull(path: string): string | null {
  try {
    return readFileSync(path, 'utf8').trim()
  } catch (error) {
    if (existsSync(path)) throw error
    return null
  }
}

function touchedAt(path: string): number | null {
  return statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? null
}
