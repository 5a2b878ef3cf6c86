import { writeFileSync } from 'node:fs'
import { parseArgs } from 'node:util'
import { goals } from './goals.ts'
import { judge } from './judge.ts'
import { reading } from './reading.ts'
import { membersOnly, settings } from './settings.ts'
import { intervalsTable, membersTable, pickingTable } from './table.ts'

/**
 * How good the scoring is, on simulated groups of which the truth is known: `npm run study`, and `-- --write` to keep the
 * tables in RESULTS.md. The same code gives the same figures, but for the time it took.
 */
const { values } = parseArgs({ options: { write: { type: 'boolean', default: false } } })
const outcomes = settings.map((setting) => judge(setting))
const ofMembers = membersOnly.map((setting) => judge(setting))
const { user, system } = process.cpuUsage()
const seconds = Math.round((user + system) / 1e6)

const results = `# What the scoring is worth, on simulated groups

Made by \`npm run study -- --write\` (test/study). Do not edit: what is to be read here is written by the command too.

${reading}

## Goals

${goals(outcomes)}

## Share of the 80 % intervals that hold the truth

${intervalsTable(outcomes)}

## Picking within requests of six alternatives

Kendall's tau between a rule's order and the true one (1: the same, 0: none):

${pickingTable(outcomes, 'tau')}

Regret in attempts per good copy, for picking the file that needs the fewest:

${pickingTable(outcomes, 'attempts')}

Regret in money for picking the cheapest to the table, 1 to 20 models, prices of 0 to 12, resin at 30 a kg:

${pickingTable(outcomes, 'cost')}

## Members whose evidence is halved

${membersTable([...outcomes.filter(({ setting }) => !setting.unsigned), ...ofMembers])}
`

console.log(results)
console.log(`${seconds} s of computing time`)
if (values.write) writeFileSync(new URL('RESULTS.md', import.meta.url), results)
