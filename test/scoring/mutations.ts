import { spawnSync } from 'node:child_process'
import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'

/**
 * Breaks the sampler, once at a time, and sees which tests notice: `npm run scoring-mutations`, and `-- --write` to keep
 * the table in MUTATIONS.md; a word alone tries the breaks with that word. Works on a copy. Fails when a break is not noticed.
 */
type Mutation = { name: string; file: string; from: RegExp; to: string }

const mutations: Mutation[] = [
  {
    name: 'every copy is an event of its own',
    file: 'events.ts',
    from: /copies <= 1 \|\| tie === 0/,
    to: 'copies >= 0',
  },
  {
    name: 'the hazard is ignored',
    file: 'wear.ts',
    from: /let \[gain, below\] = [^\n]*/,
    to: 'let [gain, below] = [1, 0]',
  },
  { name: 'machines never wear', file: 'wear.ts', from: /!\(hazard > 0\)/, to: 'hazard < 2' },
  {
    name: 'plates that came after the wear count as survived',
    file: 'chain.ts',
    from: /survived \+= change$/m,
    to: 'survived += to - from',
  },
  { name: 'the table is not learnt', file: 'seen-table.ts', from: /\+ shown\[at\]!/, to: '' },
  { name: 'no look is blind', file: 'seen-table.ts', from: /\(blind \* sizeOfSet\[set\]!\) \/ labels/, to: '0' },
  { name: 'the urn has another size', file: 'model.ts', from: /return rho \/ \(1 - rho\)/, to: 'return rho' },
  {
    name: 'a copy counts among its own others',
    file: 'failed-stages.ts',
    from: /machineBad -= \(before >> 1\) & 1/,
    to: 'machineBad -= 0',
  },
  {
    name: 'a copy that failed twice shows both stages',
    file: 'labels.ts',
    from: /\(sizeOfSet\[failed\] \?\? 1\)/,
    to: '1',
  },
  {
    name: "a sculptor's mean without its Jacobian",
    file: 'hyper-steps.ts',
    from: /mu0 \* k0 \* Math/,
    to: '(mu0 * k0 - 1) * Math',
  },
  {
    name: 'k without the sizes of the lines',
    file: 'hyper-steps.ts',
    from: /sum - logRisings\(k,/,
    to: 'sum - 0 * logRisings(k,',
  },
  { name: 'machines in order forget their priors', file: 'chain.ts', from: /\[am, bm\], state/, to: '[9, 1], state' },
  {
    name: 'ties go by the likelihood of good copies alone',
    file: 'ties.ts',
    from: /addFurther\(fail[^\n]*/,
    to: '',
  },
  {
    name: 'stages change places whatever was seen',
    file: 'swapped-stages.ts',
    from: /log \+= Math\.log\(chancesOfSeen[^\n]*/,
    to: '',
  },
  {
    name: 'stages change places whatever the urn holds',
    file: 'swapped-stages.ts',
    from: /tie \* \(tried - bad - 1\)/,
    to: 'tie * tried',
  },
  {
    name: 'an older revision counts in full',
    file: 'events.ts',
    from: /fileWeight\[print\]! \* drawEvents\(bad/,
    to: 'drawEvents(bad',
  },
  {
    name: 'a machine is shown as its plates were on average',
    file: 'kept.ts',
    from: /weight \*= still/,
    to: 'weight *= 1',
  },
  {
    name: 'every correlation is as likely before any report',
    file: 'ties.ts',
    from: /logs\.set\([^\n]*/,
    to: 'logs.fill(0)',
  },
  {
    name: 'plates stand as they were handed over',
    file: 'layout.ts',
    from: /return chosen\.sort[\s\S]*?\n {2}\}\)/,
    to: 'return chosen',
  },
  {
    name: 'blame goes to one stage of several',
    file: 'failed-stages.ts',
    from: /0, 1, 0, 1 \/ 2, 0, 1 \/ 2, 0, 1 \/ 3/,
    to: '0, 1, 0, 1, 0, 1, 0, 1',
  },
]

const root = fileURLToPath(new URL('../../', import.meta.url))
const { values, positionals } = parseArgs({
  options: { write: { type: 'boolean', default: false } },
  allowPositionals: true,
})
const [only = ''] = positionals

const config = `export default { test: { include: ['test/scoring/*.test.ts'], maxWorkers: 2, testTimeout: 60_000 } }`

/** Tests of the engine; those of what rests on its draws (verdict, cost, command line) are not asked. */
const asked = [
  'calibration',
  'fit',
  'hyper-steps',
  'kept',
  'labels',
  'one-set-one-printer',
  'seen-table',
  'series-a',
  'swapped-stages',
  'urns',
  'wear',
]

function failing(mutation?: Mutation): string[] {
  const copy = mkdtempSync(join(tmpdir(), 'understudy-mutation-'))
  try {
    for (const part of ['server/scoring', 'test/scoring', 'test/study', 'test/reference', 'package.json']) {
      cpSync(join(root, part), join(copy, part), { recursive: true })
    }
    symlinkSync(join(root, 'node_modules'), join(copy, 'node_modules'))
    writeFileSync(join(copy, 'vitest.config.ts'), config)
    if (mutation) mutate(join(copy, 'server/scoring', mutation.file), mutation)
    const files = asked.map((name) => `test/scoring/${name}.test.ts`)
    const vitest = join(root, 'node_modules/vitest/vitest.mjs')
    spawnSync(process.execPath, [vitest, 'run', '--reporter=json', '--outputFile=results.json', ...files], {
      cwd: copy,
    })
    return notedIn(JSON.parse(readFileSync(join(copy, 'results.json'), 'utf8')) as Results)
  } finally {
    rmSync(copy, { recursive: true })
  }
}

function mutate(path: string, { name, from, to }: Mutation): void {
  const source = readFileSync(path, 'utf8')
  if (!from.test(source)) throw new Error(`"${name}" has nothing to break`)
  writeFileSync(path, source.replace(from, to))
}

type Results = { testResults: { name: string; assertionResults: { status: string }[]; status: string }[] }

/** @returns file and number of tests, as "wear (11 of 14)" */
function notedIn({ testResults }: Results): string[] {
  if (testResults.length !== asked.length)
    throw new Error(`${testResults.length} files ran, ${asked.length} were asked`)
  return testResults
    .filter(({ status }) => status !== 'passed')
    .map(({ name, assertionResults }) => {
      const failed = assertionResults.filter(({ status }) => status === 'failed').length
      const file = name.split('/').at(-1)?.replace('.test.ts', '')
      return assertionResults.length === 0
        ? `${file} (did not load)`
        : `${file} (${failed} of ${assertionResults.length})`
    })
    .toSorted()
}

const sound = failing()
console.log(`as it is: ${sound.length === 0 ? 'nothing fails' : sound.join(', ')}`)
if (sound.length > 0) process.exitCode = 1
const rows = mutations
  .filter(({ name }) => name.includes(only))
  .map((mutation) => {
    const noticed = failing(mutation)
    if (noticed.length === 0) process.exitCode = 1
    const row = `| ${mutation.name} | ${mutation.file} | ${noticed.join(', ') || '**nothing**'} |`
    console.log(row)
    return row
  })
const text = `# Which tests notice a bug in the sampler

Made by \`npm run scoring-mutations -- --write\`: each row is one deliberate bug, with the test files that fail and how
many of their tests. The files run are ${asked.join(', ')}.

| bug | in | noticed by |
| --- | --- | --- |
${rows.join('\n')}
`
if (values.write) writeFileSync(new URL('MUTATIONS.md', import.meta.url), text)
