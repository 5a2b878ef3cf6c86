import { readdirSync, readFileSync } from 'node:fs'

/** The kernel counts processor time in hundredths of a second (`getconf CLK_TCK` on Linux). */
const perSecond = 100

/**
 * Processor time so far of all processes that this one has started and that still run, and of those that they have, in
 * seconds: what a browser takes, whose work is in processes of its own.
 *
 * @see proc(5), /proc/pid/stat: the parent is the second field after the name, the times in user and kernel mode the 12th and 13th
 */
export function cpuOfDescendants(): number {
  const processes = readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name))
    .flatMap(read)
  let total = 0
  for (const parents = [process.pid]; parents.length > 0; ) {
    const parent = parents.pop()
    for (const child of processes.filter((one) => one.parent === parent)) {
      total += child.seconds
      parents.push(child.pid)
    }
  }
  return total
}

function read(pid: string): { pid: number; parent: number; seconds: number }[] {
  try {
    const line = readFileSync(`/proc/${pid}/stat`, 'utf8')
    const fields = line.slice(line.lastIndexOf(')') + 2).split(' ')
    return [
      { pid: Number(pid), parent: Number(fields[1]), seconds: (Number(fields[11]) + Number(fields[12])) / perSecond },
    ]
  } catch {
    // It has ended since it was listed.
    return []
  }
}
