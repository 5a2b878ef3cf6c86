import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'

const root = join(import.meta.dirname, '../..')
const table = readFileSync(join(root, 'test/reference/asvs.md'), 'utf8')

/** Numbers of the standard with their levels, in its order. */
const levels = new Map(
  readFileSync(join(root, 'test/reference/asvs-5.0.0-levels.csv'), 'utf8')
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => line.split(',') as [number: string, level: string]),
)
const numbers = [...levels.keys()]

/** "1.2.6-1.2.8, 1.3.1" as each of the numbers. @throws Error when one is not in the standard */
function everyOf(cell: string): string[] {
  return cell.split(', ').flatMap((run) => {
    const [first = '', last = first] = run.split('-')
    const [from, to] = [numbers.indexOf(first), numbers.indexOf(last)]
    if (from < 0 || to < from) throw new Error(`${run} is no number of levels 1 and 2`)
    return numbers.slice(from, to + 1)
  })
}

const states = ['met', 'not applicable', 'partly', 'open'] as const

const cells = (line: string) => line.split('|').slice(1, -1).map((cell) => cell.trim())
const rows = table
  .split('\n')
  .filter((line) => /^\| \d/.test(line))
  .map(cells)
  .map(([cell = '', level = '', words = '', state = '', where = '']) => ({
    numbers: everyOf(cell), level, words, state, where,
  }))

describe('the table of security requirements', () => {
  test('has each number of levels 1 and 2 once, in the order of the standard and at its level', () => {
    expect([...levels.values()].filter((level) => level === '1')).toHaveLength(70)
    expect(rows.flatMap((row) => row.numbers)).toEqual(numbers)
    for (const row of rows) for (const number of row.numbers) expect([number, row.level]).toEqual([number, levels.get(number)])
  })

  test('says of each whether it is met, and where or why not', () => {
    for (const { numbers: of, words, state, where } of rows) {
      expect(states, of.join()).toContain(state)
      expect(words.length, of.join()).toBeGreaterThan(2)
      expect(where.length, of.join()).toBeGreaterThan(5)
    }
  })

  test('is summed up at its head', () => {
    const count = (state: string, level: string) =>
      rows.filter((row) => row.state === state && row.level === level).flatMap((row) => row.numbers).length
    for (const state of states) {
      const line = table.split('\n').find((one) => one.startsWith(`| ${state} |`)) ?? ''
      expect(cells(line)).toEqual([state, String(count(state, '1')), String(count(state, '2'))])
    }
  })

  test('leaves at most two of level 1 open, and argues each below', () => {
    const left = rows.filter(({ level, state }) => level === '1' && !['met', 'not applicable'].includes(state))
    const open = left.flatMap((row) => row.numbers)
    expect(open.length).toBeLessThanOrEqual(2)
    for (const number of open) expect(table).toContain(`\n- **${number}, open`)
  })

  test('names only tests and files that there are', () => {
    const files = [...table.matchAll(/`([\w/.-]+\.(?:tsx?|csv|md|yml|json)|server\/Dockerfile)`/g)].map((found) => found[1] ?? '')
    expect(files.length).toBeGreaterThan(100)
    for (const file of new Set(files)) expect(existsSync(join(root, file)), file).toBe(true)
  })

  test('names beside each number the files whose tests carry it', () => {
    const tests = readdirSync(join(root, 'test'), { recursive: true, encoding: 'utf8' }).filter((file) =>
      /\.test\.tsx?$/.test(file),
    )
    const carried = tests.flatMap((file) =>
      [...readFileSync(join(root, 'test', file), 'utf8').matchAll(/\(ASVS ([\d., ]+)\)/g)].flatMap(([, list = '']) =>
        list.split(', ').map((number) => ({ number, file: `test/${file}` })),
      ),
    )
    expect(carried.length).toBeGreaterThan(40)
    const lacking = carried.filter(
      ({ number, file }) => !rows.some((row) => row.numbers.includes(number) && row.where.includes(`\`${file}\``)),
    )
    expect(lacking).toEqual([])
  })
})

const sources = (folder: string) =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((file) => /\.tsx?$/.test(file))
    .map((file) => ({ file: `${folder}/${file}`, text: readFileSync(join(root, folder, file), 'utf8') }))

describe('what the table says is not there', () => {
  const inService = [...sources('server'), ...sources('db')]
  const inBrowser = sources('web/client')
  // Kept on purpose, as SECURITY.md says, and there alone; it hears its own origin's worker and windows.
  const onPages = inBrowser.filter(({ file }) => !/\/(offline\/|service-worker\.ts$)/.test(file))
  test.each([
    // `fork` starts a file of our own.
    ['starts another program (ASVS 1.2.5)', inService, /(?<!import { type ChildProcess, fork } from 'node:)\bchild_process\b/],
    ['makes code of text (ASVS 1.3.2)', [...inService, ...inBrowser], /\beval\(|\bnew Function\b|node:vm\b/],
    ['calls an address (ASVS 1.3.6, 13.1.1)', inService, /\bfetch\(|\bundici\b|from 'node:https'|\brequest\(\{/],
    ['takes chance for secrecy (ASVS 11.5.1)', inService, /\bMath\.random\b/],
    ['makes a page of text (ASVS 3.2.2)', [...sources('web'), ...inService], /\b(inner|outer)HTML\b|insertAdjacentHTML/],
    ['keeps anything in the browser (ASVS 14.3.3)', onPages, /\bindexedDB\b|\bcaches\b|['"]idb['"]/],
    ['keeps what scripts of another page read (ASVS 14.3.3)', inBrowser, /\b(local|session)Storage\b|\.cookie\b/],
    ['listens to other windows (ASVS 3.5.5)', onPages, /\bpostMessage\b|['"]message['"]/],
    ['hears another origin (ASVS 3.5.5)', inBrowser, /\b(window|globalThis|parent|opener)\.(addEventListener|postMessage)\b/],
  ])('nothing %s', (_, files, sign) => {
    expect(files.length).toBeGreaterThan(5)
    expect(files.filter(({ text }) => sign.test(text)).map(({ file }) => file)).toEqual([])
  })
})
