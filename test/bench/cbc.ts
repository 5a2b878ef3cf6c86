import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { ModelData } from 'highs'

export type CbcRun = { objective: number; isOptimal: boolean; cpuMs: number }

/** Whether COIN-OR's CBC is on this machine (Debian: `apt-get install coinor-cbc`). */
export function hasCbc(): boolean {
  return spawnSync('cbc', ['-quit']).status === 0
}

/** Solves the same model by native CBC, on one thread, to the same gap. */
export function solveByCbc(data: ModelData, { gap, limitS }: { gap: number; limitS: number }): CbcRun {
  const folder = mkdtempSync(join(tmpdir(), 'understudy-cbc-'))
  try {
    const file = join(folder, 'model.mps')
    writeFileSync(file, mpsOf(data))
    const options = ['-ratioGap', '0', '-allowableGap', String(gap), '-seconds', String(limitS)]
    const { stdout } = spawnSync('cbc', [file, ...options, '-solve', '-quit'], { encoding: 'utf8' })
    return {
      objective: numberAfter(stdout, /Objective value:\s+(\S+)/),
      isOptimal: stdout.includes('Optimal solution found'),
      cpuMs: 1000 * numberAfter(stdout, /Total time \(CPU seconds\):\s+(\S+)/),
    }
  } finally {
    rmSync(folder, { recursive: true })
  }
}

function numberAfter(text: string, pattern: RegExp): number {
  return Number(pattern.exec(text)?.[1] ?? Number.NaN)
}

/** The model in free MPS format: rows R0, R1 …, columns C0, C1 …, all columns from 0 to 1. */
function mpsOf(data: ModelData): string {
  const { numCols, numRows, matrix } = data
  const entries: string[][] = Array.from({ length: numCols }, (_, column) => [
    `C${column} COST ${data.colCost[column]}`,
  ])
  for (let row = 0; row < numRows; row++) {
    for (let place = matrix.starts[row] ?? 0; place < (matrix.starts[row + 1] ?? 0); place++) {
      const column = matrix.indices[place] ?? 0
      entries[column]?.push(`C${column} R${row} ${matrix.values[place]}`)
    }
  }
  const [rows, sides] = rowsOf(data)
  const columns = entries.flatMap((lines, column) => {
    if (!data.integrality?.[column]) return lines
    return [`M${column}a 'MARKER' 'INTORG'`, ...lines, `M${column}b 'MARKER' 'INTEND'`]
  })
  const bounds = entries.map((_, column) => `UP BOUND C${column} 1`)
  const sections: [head: string, lines: string[]][] = [
    ['NAME ROSTER FREE', []],
    ['ROWS', ['N COST', ...rows]],
    ['COLUMNS', columns],
    ['RHS', sides],
    ['BOUNDS', bounds],
    ['ENDATA', []],
  ]
  return sections.flatMap(([head, lines]) => [head, ...lines.map((line) => ` ${line}`)]).join('\n')
}

function rowsOf({ numRows, rowLower, rowUpper }: ModelData): [kinds: string[], sides: string[]] {
  const kinds: string[] = []
  const sides: string[] = []
  for (let row = 0; row < numRows; row++) {
    const [low, high] = [rowLower[row] ?? 0, rowUpper[row] ?? 0]
    kinds.push(`${low === high ? 'E' : Number.isFinite(high) ? 'L' : 'G'} R${row}`)
    sides.push(`RHS R${row} ${Number.isFinite(high) ? high : low}`)
  }
  return [kinds, sides]
}
