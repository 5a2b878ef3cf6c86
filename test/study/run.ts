import { writeFileSync } from 'node:fs'
import { parseArgs } from 'node:util'
import { stages } from '../../server/scoring/labels.ts'
import { calibrate, chiSquareOf } from './calibration.ts'
import { watchFilms } from './film-watch.ts'
import { goals } from './goals.ts'
import { judge } from './judge.ts'
import { reading } from './reading.ts'
import { assumed, invented } from './settings.ts'
import { bestOfSix } from './six-files.ts'
import {
  allGoodTable,
  filmTable,
  firstTable,
  intervalsTable,
  moneyTable,
  mostLikelyOfAll,
  mostLikelyTable,
  reliabilityTable,
  table,
  verdictsTable,
} from './table.ts'

/**
 * How good the scoring is, on simulated groups of which the truth is known: `npm run study`, and `-- --write` to keep the
 * tables in RESULTS.md. The same code gives the same figures, but for the time it took.
 */
const { values } = parseArgs({ options: { write: { type: 'boolean', default: false } } })

const draws = 99
const ranks = [...calibrate({ groups: 400, plates: 64, draws, apart: 20, findingItsWay: 500, seed: 1 })].map(
  ([name, list]) => ({
    name,
    chiSquare: chiSquareOf(list, draws),
    mean: list.reduce((sum, rank) => sum + rank, 0) / list.length / draws,
  }),
)
const worst = ranks.reduce((one, other) => (other.chiSquare > one.chiSquare ? other : one))
const ofAssumed = assumed.map((setting) => judge(setting))
const ofInvented = invented.map((setting) => judge(setting))
const all = [...ofAssumed, ...ofInvented]
const watched = watchFilms(12)
const first = bestOfSix(60)
const { user, system } = process.cpuUsage()

const results = `# What the scoring is worth, on simulated groups

Made by \`npm run study -- --write\` (test/study). Do not edit: what is to be read here is written by the command too.

${reading}

## Goals

${goals({ invented: ofInvented, assumed: ofAssumed, film: watched.service, first, ranks: worst })}

## Ranks of the truth among the draws, 400 groups of 64 plates drawn from the priors

Chi-square of 20 bins: one in a thousand above 43.8; the mean rank of 400 is .5, give or take .014.

${table(
  ['unknown', 'chi-square', 'mean rank'],
  ranks.map(({ name, chiSquare, mean }) => [name, chiSquare.toFixed(1), mean.toFixed(3)]),
)}

## 80 % intervals that hold the truth

${intervalsTable(all)}

## Verdicts on plates of which something failed

${verdictsTable(all)}

How much of the blame truly was whose, by how much was said (plates):

${stages.map((stage) => reliabilityTable(all, stage)).join('\n\n')}

"Most likely" where a share is over .6: how often that stage truly has the largest share, by failed copies of the plate:

${mostLikelyOfAll({
  'as assumed': ofAssumed,
  '15 % blind': ofInvented.filter(({ setting }) => setting.name.includes('15 %')),
  '35 % blind': ofInvented.filter(({ setting }) => setting.name.includes('35 %')),
})}

${mostLikelyTable(all)}

## Money lost a request

Picking the cheapest of six to the table, 1 to 20 models, prices of 0 to 12, resin at 30 a kg, on a machine in order:

${moneyTable(all)}

## P(all N good), N of 1 to 6, on an about full next plate

${allGoodTable(all)}

## Films

Four members, asked after every one of 120 plates of theirs; films fade over 10 to 20 plates and are changed 25 after they began:

${filmTable({
  'this service': watched.service,
  'this service, limit of .4 a year': watched.serviceAsOftenWrong,
  'running sum of failures': watched.runningSum,
})}

## Six new files, 192 reports

${firstTable(first)}
`

console.log(results)
console.log(`${Math.round((user + system) / 1e6)} s of computing time`)
if (values.write) writeFileSync(new URL('RESULTS.md', import.meta.url), results)
