import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { text } from 'node:stream/consumers'

/**
 * `npm test`: all tests, in two runs beside each other; or one run of what its arguments name, as Vitest takes them.
 *
 * The second run drives a browser and plans, one file at a time, and waits for both more than it works: what it leaves of
 * two processors goes to the first. What it prints comes after the first has ended, since two runs cannot share a screen.
 */
const vitest = join(dirname(createRequire(import.meta.url).resolve('vitest/package.json')), 'vitest.mjs')

const inTurns = ['--project', 'e2e', '--project', 'patient']
const together = ['--project', 'computation', '--project', 'service']

/** @returns the run's exit code, and what it printed if it was to be kept. */
async function run(more: string[], output: 'inherit' | 'pipe'): Promise<{ code: number; printed: string }> {
  const child = spawn(process.execPath, [vitest, 'run', ...more], { stdio: ['ignore', output, 'inherit'] })
  const printed = child.stdout ? text(child.stdout) : ''
  const [code] = await once(child, 'exit')
  return { code: code ?? 1, printed: await printed }
}

const asked = process.argv.slice(2)
if (asked.length > 0) process.exitCode = (await run(asked, 'inherit')).code
else {
  const [first, second] = await Promise.all([run(together, 'inherit'), run(inTurns, 'pipe')])
  console.log(second.printed)
  process.exitCode = first.code || second.code
}
