import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, describe, expect, test } from 'vitest'
import type { Blame } from '../../server/scoring/blame.ts'
import { type Posterior, referenceFolder, referenceJson } from '../scoring/reference.ts'

const command = fileURLToPath(new URL('../../server/commands/fit.ts', import.meta.url))
const folder = mkdtempSync(join(tmpdir(), 'understudy-fit-'))
afterAll(() => rmSync(folder, { recursive: true }))

function run(...args: string[]) {
  const { status, stdout, stderr } = spawnSync(process.execPath, [command, ...args], { encoding: 'utf8' })
  return { status, stdout, stderr }
}

let files = 0
function fileOf(content: string): string {
  const path = join(folder, `${files++}.csv`)
  writeFileSync(path, content)
  return path
}

const header = 'supportSet,sculptor,printer,period,crowding,good,supports snapped,soft detail'
const reports = `${header}\nhound,Vesna,attic,1,loose,5,1,0\nwitch,Vesna,attic,1,packed,2,0,2\n`

const near = (ours: number, theirs: number, sd: number, limit: number) => Math.abs(ours - theirs) / sd < limit

test('series-a, held, agrees with JAGS', () => {
  const path = (name: string) => fileURLToPath(new URL(name, referenceFolder))
  const { status, stdout, stderr } = run(path('series-a.csv'), '--labels', path('series-a.labels.json'), '--hold')
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
  const ours = JSON.parse(stdout)
  const outside =
    referenceJson<Record<'supportSets' | 'printerPeriods' | 'plates', Record<string, Posterior>>>(
      'series-a.posterior.json',
    )
  for (const kind of ['supportSets', 'printerPeriods', 'plates'] as const) {
    expect(Object.keys(ours[kind]).toSorted()).toEqual(Object.keys(outside[kind]).toSorted())
    for (const [name, theirs] of Object.entries<Posterior>(outside[kind])) {
      const one = ours[kind][name]
      expect(near(one.mean, theirs.mean, theirs.sd, 0.06)).toBe(true)
      expect(near(one.low, theirs.low, theirs.sd, 0.15)).toBe(true)
      expect(near(one.high, theirs.high, theirs.sd, 0.15)).toBe(true)
      expect(one.shape[0] / (one.shape[0] + one.shape[1])).toBeCloseTo(one.mean, 6)
    }
  }
  expect(ours.hyper).toEqual({ mu0: 0.85, k0: 10, k: 10, am: 9, bm: 1 })
  expect(ours.sweeps).toBeGreaterThan(0)
  expect(ours.samples).toBeGreaterThan(0)
  expect(ours.ms).toBeGreaterThan(0)
})

test('our own labels, hyperparameters learnt', () => {
  const { status, stdout } = run(fileOf(reports))
  expect(status).toBe(0)
  const ours = JSON.parse(stdout)
  expect(Object.keys(ours.supportSets)).toEqual(['hound', 'witch'])
  expect(Object.keys(ours.printerPeriods)).toEqual(['attic/1'])
  expect(Object.keys(ours.plates)).toEqual(['loose', 'normal', 'packed'])
  expect(ours.hyper.am).not.toBe(9)
  expect(ours.rhat).toBeGreaterThan(0.9)
  expect(ours.rhat).toBeLessThan(1.2)
  expect(ours.verdicts).toBeUndefined()
})

test('a machine whose last plates all failed is probably worn, since the first of them', () => {
  const good = Array.from({ length: 10 }, (_, index) => `set ${index},Vesna,attic,1,about full,6,0,0`)
  const bad = Array.from({ length: 3 }, (_, index) => `set ${index},Vesna,attic,1,about full,1,5,0`)
  const columns = header
    .replace('supports snapped', 'nothing stuck to the plate')
    .replace('soft detail', 'stuck to the film')
  const { stdout } = run(fileOf([columns, ...good, ...bad].join('\n')), '--verdicts')
  const ours = JSON.parse(stdout)
  const { worn, wornSince, mean } = ours.printerPeriods['attic/1']
  expect(worn).toBeGreaterThan(0.8)
  expect(wornSince).toBe(10)
  expect(mean).toBeLessThan(0.6)
  expect(Object.keys(ours.plates)).toEqual(['half empty', 'about full', 'packed'])
  expect(Object.keys(ours.verdicts)).toEqual(['11', '12', '13'])
  for (const { file, machine, plate } of Object.values<Blame>(ours.verdicts)) {
    expect(file + machine + plate).toBeCloseTo(1, 5)
    expect(machine).toBeGreaterThan(0.6)
  }
})

describe('what it refuses: one line, exit code 2, nothing on the standard output', () => {
  const broken = fileOf(`${header}\nhound,Vesna,attic,1,loose,5,1,0\nhound,Vesna,attic,1,loose,-5,1,0\n`)
  test.each([
    ['a malformed file', [broken], `${broken}: row 3, column "good": "-5" is not a whole number from 0 to 1000000`],
    ['no such file', [join(folder, 'none.csv')], `${join(folder, 'none.csv')}: cannot be read`],
    ['a folder', [folder], `${folder}: cannot be read`],
    ['no labels', [broken, '--labels', join(folder, 'none.json')], `${join(folder, 'none.json')}: cannot be read`],
    ['no file', [], 'usage: fit FILE.csv [--labels LABELS.json] [--hold] [--verdicts]'],
    ['an unknown option', ['a.csv', '--fast'], 'usage: fit FILE.csv [--labels LABELS.json] [--hold] [--verdicts]'],
  ])('%s', (_, args, expected) => {
    expect(run(...args)).toEqual({ status: 2, stdout: '', stderr: `${expected}\n` })
  })
})
