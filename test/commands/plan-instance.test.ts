import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, describe, expect, test } from 'vitest'

const command = fileURLToPath(new URL('../../server/commands/plan-instance.ts', import.meta.url))
const reference = new URL('../reference/facility-location/', import.meta.url)
const published: { instances: { name: string; file: string; optimum: number }[] } = JSON.parse(
  readFileSync(new URL('optima.json', reference), 'utf8'),
)
const folder = mkdtempSync(join(tmpdir(), 'understudy-plan-'))
afterAll(() => rmSync(folder, { recursive: true }))

function run(...args: string[]) {
  const { status, stdout, stderr } = spawnSync(process.execPath, [command, ...args], { encoding: 'utf8' })
  return { status, stdout, stderr }
}

function fileOf(content: string): string {
  const path = join(folder, 'instance.txt')
  writeFileSync(path, content)
  return path
}

test.each(published.instances)('$name has the published optimum', ({ file, optimum }) => {
  const { status, stdout, stderr } = run(fileURLToPath(new URL(file, reference)))
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
  const { objective, proven, bound, ms } = JSON.parse(stdout)
  expect(Math.abs(objective - optimum)).toBeLessThanOrEqual(0.01)
  expect(Math.abs(bound - optimum)).toBeLessThanOrEqual(0.01)
  expect(proven).toBe(true)
  expect(ms).toBeGreaterThan(0)
})

test('the word capacity may stand for a capacity, and line ends mean nothing', () => {
  const { stdout } = run(fileOf('2 2\r\ncapacity 10 capacity 3.5\r\n1 4 9\r\n0 7\r\n2'))
  expect(JSON.parse(stdout)).toMatchObject({ objective: 3.5 + 9 + 2, proven: true, bound: 14.5 })
})

test('nothing costs anything', () => {
  expect(JSON.parse(run(fileOf('1 1 0 0 0 0')).stdout)).toMatchObject({ objective: 0, proven: true, bound: 0 })
})

test('without time a plan comes out all the same, and is not called proven', () => {
  const { stdout } = run(fileURLToPath(new URL('cap71.txt', reference)), '--limit', '0')
  const { objective, proven, bound } = JSON.parse(stdout)
  expect(objective).toBeGreaterThanOrEqual(932615.75)
  expect(proven).toBe(false)
  expect(bound).toBeLessThanOrEqual(932615.75)
})

describe('what it refuses: one line, exit code 2, nothing on the standard output', () => {
  const path = join(folder, 'instance.txt')
  test.each([
    ['an empty file', '', 'ends before the number of facilities'],
    ['no facility', '0 5', 'number of facilities: "0" is not a whole number from 1 to 5000000'],
    ['half a customer', '2 1.5', 'number of customers: "1.5" is not a whole number from 1 to 5000000'],
    ['a word for a cost', '1 1 0 dear 1 1', 'cost of opening facility 1: "dear" is not a number from 0 to 1e15'],
    ['not a number', '1 1 0 NaN 1 1', 'cost of opening facility 1: "NaN" is not a number from 0 to 1e15'],
    ['a negative cost', '1 1 0 5 1 -1', 'cost of customer 1 from facility 1: "-1" is not a number from 0 to 1e15'],
    [
      'an infinite cost',
      '1 1 0 5 1 1e999',
      'cost of customer 1 from facility 1: "1e999" is not a number from 0 to 1e15',
    ],
    ['too few numbers', '2 1 0 5 0 6 1 3', 'ends before the cost of customer 1 from facility 2'],
    ['too many', '1 1 0 5 1 3 4 4', '2 more than expected, beginning with "4"'],
    ['far too large', '9999 9999', '9999 facilities x 9999 customers is more than 5000000'],
  ])('%s', (_, content, expected) => {
    expect(run(fileOf(content))).toEqual({ status: 2, stdout: '', stderr: `${path}: ${expected}\n` })
  })

  test.each([
    ['no such file', [join(folder, 'none')], `${join(folder, 'none')}: cannot be read`],
    ['no file', [], 'usage: plan-instance FILE [--limit SECONDS]'],
    ['an unknown option', ['a', '--fast'], 'usage: plan-instance FILE [--limit SECONDS]'],
    ['a limit that is none', ['a', '--limit', 'soon'], 'usage: plan-instance FILE [--limit SECONDS]'],
  ])('%s', (_, args, expected) => {
    expect(run(...args)).toEqual({ status: 2, stdout: '', stderr: `${expected}\n` })
  })
})
