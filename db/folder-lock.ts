import { readFileSync, rmSync, writeFileSync } from 'node:fs'
import { hostname } from 'node:os'
import { join } from 'node:path'
import { DatabaseSync } from 'node:sqlite'

/**
 * The embedded database does not notice when a second process opens its folder, and both then spoil it. So whoever opens
 * it holds an exclusive transaction on an empty SQLite file beside it: the operating system ends that with the process,
 * however it dies, and every other process is refused meanwhile.
 */
const lockName = 'in-use.lock'
/** Says who holds it, for the message alone. */
const holderName = 'in-use.txt'
/** SQLITE_BUSY. @see https://sqlite.org/rescode.html */
const busy = 5

/** Another process has the folder open. The message says which, where it has come to write that down. */
export class FolderInUse extends Error {
  override name = 'FolderInUse'
  constructor(folder: string) {
    super(
      `The folder ${folder} is in use by ${holderOf(folder)}. Stop that one first, or choose another folder (DATA_DIR).`,
    )
  }
}

function holderOf(folder: string): string {
  try {
    return readFileSync(join(folder, holderName), 'utf8').trim() || 'another process'
  } catch {
    return 'another process'
  }
}

/**
 * Takes the lock of a folder.
 *
 * @returns lets go of the lock
 * @throws FolderInUse
 */
export function holdFolder(folder: string): () => void {
  const lock = new DatabaseSync(join(folder, lockName))
  try {
    lock.exec('begin exclusive')
  } catch (error) {
    lock.close()
    throw isBusy(error) ? new FolderInUse(folder) : error
  }
  const holder = join(folder, holderName)
  writeFileSync(holder, `process ${process.pid} on ${hostname()} since ${new Date().toISOString()}\n`)
  return () => {
    if (!lock.isOpen) return
    rmSync(holder, { force: true })
    lock.close()
  }
}

function isBusy(error: unknown): boolean {
  return error instanceof Error && 'errcode' in error && error.errcode === busy
}
