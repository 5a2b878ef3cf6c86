import { expect, test } from 'vitest'
import { importsOf, violations } from './import-rules.ts'

const rulesBroken = (file: string, ...specifiers: string[]) =>
  violations(file, specifiers.map((specifier) => `import { x } from '${specifier}'`).join('\n')).map(
    ({ specifier }) => specifier,
  )

test('every way to import is seen, with the line it is on', () => {
  const source = `import 'a'
import b from "b"
import type { C } from 'c'
import {
  d, // the reason
  type E,
} from 'd'
import * as f from 'f'
export { g } from 'g'
export * from 'h'
const i = await import('i')
import j, { k } from 'j'
import{l}from'l'
export type { M } from './m.ts'
/**
 * import { no } from 'comment'
 */
// import 'comment'
const text = "import x from 'text'"
export const from = 'nowhere'
export default 'nothing'
`
  expect(importsOf(source).map(({ specifier, line }) => `${specifier} ${line}`)).toEqual([
    ...['a 1', 'b 2', 'c 3', 'd 7', 'f 8', 'g 9', 'h 10', 'i 11', 'j 12', 'l 13', './m.ts 14'],
  ])
})

test.each([
  ['server/main.ts', ['./app.ts', './config.ts', '../db/connect.ts', 'fastify']],
  ['server/app.ts', ['./features/requests/votes/api.ts', './http/session.ts', '../web/pages/home.tsx', 'fastify']],
  ['server/features/index.ts', ['./requests/votes/api.ts', './catalogue/files/pages.tsx']],
  [
    'server/features/requests/votes/api.ts',
    ['./queries.ts', './pages.tsx', '../../catalogue/files/queries.ts', '../../../http/problem.ts'],
  ],
  [
    'server/features/requests/votes/pages.tsx',
    ['../../../../web/parts/money.tsx', '../../../scoring/vote.ts', '../../../../db/connect.ts'],
  ],
  ['server/http/session.ts', ['../../db/connect.ts', '../config.ts', '../../web/pages/problem.tsx', 'lucia']],
  ['server/scoring/fit.ts', ['./prior.ts', './command/csv.ts']],
  ['server/scoring/command/fit.ts', ['../fit.ts', 'node:fs']],
  [
    'server/planning/worker.ts',
    ['./solver.ts', 'highs', 'maxrects-packer/dist/maxrects-packer.mjs', 'node:worker_threads'],
  ],
  ['web/pages/home.tsx', ['../parts/money.tsx', 'preact', 'preact/hooks']],
  ['web/build.ts', ['esbuild', 'node:fs/promises']],
  ['db/connect.ts', ['./tables.ts', 'kysely', 'pg']],
])('%s may import %j', (file, specifiers) => {
  expect(rulesBroken(file, ...specifiers)).toEqual([])
})

test.each([
  ['server/app.ts', ['./main.ts', '../test/support/database.ts']],
  [
    'server/features/requests/votes/queries.ts',
    ['../../../app.ts', '../../index.ts', '../../catalogue/files/api.ts', '../answers/pages.tsx'],
  ],
  ['server/features/catalogue/files/queries.ts', ['../../requests/votes/queries.ts', '../../overview/home/queries.ts']],
  ['server/http/session.ts', ['../features/people/members/queries.ts', '../app.ts', '../scoring/fit.ts']],
  ['server/jobs/refit.ts', ['../app.ts', '../../web/pages/home.tsx']],
  ['server/config.ts', ['./app.ts', '../db/connect.ts']],
  ['server/scoring/fit.ts', ['../planning/model.ts', '../../db/connect.ts', 'fastify', 'kysely', 'zod', 'node:fs']],
  ['server/scoring/beta.ts', ['@stdlib/math-base-special-betainc']],
  ['server/planning/model.ts', ['../scoring/fit.ts', '../http/problem.ts', 'kysely', 'highs-like', 'node:fs']],
  [
    'web/pages/home.tsx',
    ['../../server/features/requests/votes/schema.ts', '../../db/tables.ts', 'zod', 'node:fs', 'preactical'],
  ],
  ['db/demo/group.ts', ['../../server/scoring/fit.ts', '../../web/parts/money.tsx']],
  ['server/helpers/strings.ts', ['./other.ts']],
])('%s may not import any of %j', (file, specifiers) => {
  expect(rulesBroken(file, ...specifiers)).toEqual(specifiers)
})

test('what is found names file, line and rule', () => {
  const source =
    "import { h } from 'preact'\n\nimport type { Vote } from '../../server/features/requests/votes/schema.ts'\n"
  expect(violations('web/pages/home.tsx', source)).toEqual([
    {
      file: 'web/pages/home.tsx',
      line: 3,
      specifier: '../../server/features/requests/votes/schema.ts',
      rule: 'web imports only from web',
    },
  ])
})
