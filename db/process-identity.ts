import { readFileSync, readlinkSync } from 'node:fs'
import { hostname } from 'node:os'

/** Enough about a process for another one to tell later whether it still runs. */
export interface ProcessIdentity {
  pid: number
  host: string
  /** Tells one start of the machine from the next; null, as the next two, where the system has no /proc. */
  boot: string | null
  /** Which set of process numbers `pid` belongs to: each container has its own. */
  pids: string | null
  /** When the process began, in ticks since the machine's start; a number that is given out again has another. */
  began: string | null
}

/** Who we are. */
export function ownIdentity(): ProcessIdentity {
  return {
    pid: process.pid,
    host: hostname(),
    boot: orNull(() => readFileSync('/proc/sys/kernel/random/boot_id', 'utf8').trim()),
    pids: orNull(() => readlinkSync('/proc/self/ns/pid')),
    began: beginOf(process.pid),
  }
}

/** @returns undefined when that can't be seen from here: another container or machine, or a system that says too little */
export function stillRuns(other: ProcessIdentity): boolean | undefined {
  const own = ownIdentity()
  if (own.boot !== null && own.pids !== null && other.boot === own.boot && other.pids === own.pids) {
    return beginOf(other.pid) === other.began
  }
  const isSameSystem = own.boot === null && other.boot === null && other.host === own.host
  return isSameSystem && !hasProcess(other.pid) ? false : undefined
}

/** Field 22 of /proc/…/stat; field 2, the name, may itself hold spaces and brackets. @see proc(5) */
function beginOf(pid: number): string | null {
  const stat = orNull(() => readFileSync(`/proc/${pid}/stat`, 'utf8'))
  return stat?.slice(stat.lastIndexOf(')') + 2).split(' ')[19] ?? null
}

function hasProcess(pid: number): boolean {
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    // EPERM: there is one, but it is somebody else's
    return error instanceof Error && 'code' in error && error.code === 'EPERM'
  }
}

function orNull(read: () => string): string | null {
  try {
    return read()
  } catch {
    return null
  }
}
