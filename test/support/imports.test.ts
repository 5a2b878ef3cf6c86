import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join, posix } from 'node:path'
import { cruise, type ICruiseResult } from 'dependency-cruiser'
import extractRules from 'dependency-cruiser/config-utl/extract-depcruise-config'
import { afterAll, beforeAll, expect, test } from 'vitest'

/** A file, what it may import, and what it may not; each is planted in a house of its own shape, and all are looked at at once. */
const planted: [file: string, may: string[], mayNot: string[]][] = [
  ['server/main.ts', ['./app.ts', './config.ts', '../db/connect.ts', 'fastify'], ['../test/support/database.ts']],
  [
    'server/app.ts',
    ['./features/requests/votes/api.ts', './http/session.ts', '../web/pages/home.tsx', 'fastify'],
    ['./main.ts', '../test/support/database.ts'],
  ],
  ['server/features/index.ts', ['./requests/votes/api.ts', './catalogue/files/pages.tsx'], ['../main.ts']],
  [
    'server/features/requests/votes/api.ts',
    ['./queries.ts', './pages.tsx', './edit-pages.tsx', '../../catalogue/files/queries.ts', '../../../http/problem.ts'],
    ['../answers/edit-pages.tsx', '../../catalogue/files/change-api.ts'],
  ],
  [
    'server/features/requests/votes/queries.ts',
    ['../../../../web/parts/money.tsx', '../../../scoring/vote.ts', '../../../../db/connect.ts', '../answers/rules.ts'],
    [
      '../../../app.ts',
      '../../index.ts',
      '../../catalogue/files/api.ts',
      '../answers/pages.tsx',
      '../../../jobs/refit.ts',
    ],
  ],
  [
    'server/features/catalogue/files/queries.ts',
    ['../../people/members/rules.ts'],
    ['../../requests/votes/rules.ts', '../../overview/home/queries.ts'],
  ],
  [
    'server/http/session.ts',
    ['../../db/connect.ts', '../config.ts', '../../web/pages/problem.tsx', 'lucia'],
    ['../features/people/members/queries.ts', '../app.ts', '../scoring/fit.ts'],
  ],
  ['server/jobs/refit.ts', ['../features/requests/votes/rules.ts'], ['../app.ts', '../../web/pages/home.tsx']],
  ['server/config.ts', ['node:path'], ['./app.ts', '../db/connect.ts']],
  [
    'server/scoring/fit.ts',
    ['./prior.ts'],
    [
      '../planning/model.ts',
      '../commands/read-files.ts',
      '../../db/connect.ts',
      'fastify',
      'kysely',
      'zod',
      'node:fs',
      '@stdlib/math-base-special-betaln',
    ],
  ],
  [
    'server/commands/fit.ts',
    ['../scoring/fit.ts', '../features/people/members/queries.ts', '../../db/connect.ts', 'node:fs'],
    ['../app.ts', '../main.ts', '../jobs/refit.ts'],
  ],
  [
    'server/planning/worker.ts',
    ['./solver.ts', 'highs', 'maxrects-packer/dist/maxrects-packer.mjs', 'node:worker_threads', 'node:os'],
    ['../scoring/fit.ts', '../http/problem.ts', 'kysely', 'node:fs'],
  ],
  [
    'web/pages/home.tsx',
    ['../parts/money.tsx', 'preact', 'preact/hooks'],
    ['../../server/features/requests/votes/schema.ts', '../../db/tables.ts', 'zod', 'node:fs'],
  ],
  ['web/build.ts', ['esbuild', 'node:fs/promises'], ['../server/config.ts']],
  ['db/connect.ts', ['./tables.ts', 'kysely', 'pg'], ['../server/scoring/fit.ts', '../web/parts/money.tsx']],
  ['server/strings/split.ts', [], ['./other.ts']],
]

const everyWay = [
  "import '../server/config.ts'\nimport './not-there.ts'",
  "import type { A } from '../server/config.ts'",
  "import {\n  a, // the reason\n  type B,\n} from '../server/config.ts'",
  "import { type C } from '../server/config.ts'",
  "export { d } from '../server/config.ts'",
  "export * from '../server/config.ts'",
  "export type { E } from '../server/config.ts'",
  "const f = await import('../server/config.ts')",
  "type G = import('../server/config.ts').G",
]

const root = join(import.meta.dirname, '../..')
const house = mkdtempSync(join(tmpdir(), 'understudy-imports-'))
afterAll(() => rmSync(house, { recursive: true, force: true }))

function write(path: string, text: string): void {
  mkdirSync(dirname(join(house, path)), { recursive: true })
  writeFileSync(join(house, path), text)
}

/** @returns what breaks a rule, as "file imports specifier: rule" */
async function look(): Promise<string[]> {
  const { options, ...ruleSet } = await extractRules(join(root, '.dependency-cruiser.mjs'))
  const { output } = await cruise(
    ['server', 'web', 'db'],
    { ...options, baseDir: house, preserveSymlinks: true, validate: true, ruleSet, outputType: 'json' },
    options?.enhancedResolveOptions,
  )
  const { violations } = (JSON.parse(output as string) as ICruiseResult).summary
  return violations.map(({ from, to, unresolvedTo, rule }) => `${from} imports ${unresolvedTo ?? to}: ${rule.name}`)
}

let found: string[]
beforeAll(async () => {
  symlinkSync(join(root, 'node_modules'), join(house, 'node_modules'))
  const all = planted.flatMap(([file, may, mayNot]) => [...may, ...mayNot].map((specifier) => ({ file, specifier })))
  for (const { file, specifier } of all)
    if (specifier.startsWith('.')) write(posix.join(posix.dirname(file), specifier), '')
  for (const { file } of all)
    write(
      file,
      all
        .filter((one) => one.file === file)
        .map(({ specifier }) => `import '${specifier}'\n`)
        .join(''),
    )
  for (const [index, text] of everyWay.entries()) write(`db/way-${index}.ts`, text)
  write('server/http/there.ts', "import './and-back.ts'")
  write('server/http/and-back.ts', "import type { There } from './there.ts'")
  found = await look()
})

test.each(planted)('%s may import %j, and none of %j', (file, _, mayNot) => {
  const broken = found.filter((one) => one.startsWith(`${file} `) && !one.endsWith(': no-circle'))
  const specifiers = broken.map((one) => one.split(' ')[2]?.replace(/:$/, ''))
  expect(specifiers.sort()).toEqual(mayNot.map((specifier) => specifier.replace(/^node:/, '')).sort())
})

test.each([...everyWay.entries()])('way %i to import is seen: %s', (index) => {
  expect(found).toContain(`db/way-${index}.ts imports ../server/config.ts: db-imports-only-below`)
})

test('a circle is found, if one half of it is only a type as well', () => {
  expect(found.filter((one) => /^server.http.(there|and-back).* no-circle/.test(one))).not.toEqual([])
})

test('what is not there is found', () => {
  expect(found).toContain('db/way-0.ts imports ./not-there.ts: found')
})
