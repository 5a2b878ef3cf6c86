import { fitGroup } from '../../server/scoring/fit.ts'
import type { Plate } from '../../server/scoring/plates.ts'
import { Random } from '../../server/scoring/random.ts'
import { wantsLook } from '../../server/scoring/verdict.ts'
import { median } from './measures.ts'
import { invent, type World } from './world.ts'
import { usual } from './world-options.ts'

/** A printer prints about so many plates a year. (Common practice, no source.) */
const platesAYear = 60
/** Films are watched for so many plates after they began to fade; one not noticed by then counts as so many. */
const watched = 25
/** Reports before anything is asked, and of the whole group. */
const known = 40
const reports = 160

/** What came of a rule that gives the alarm above a limit: plates after the fade began until it was noticed, and how often there was none to notice. */
export type Watch = { limit: number; delay: number; noticed: number; films: number; falseAlarmsAYear: number }

/** By plate that is asked, in order: what a rule says of its printer after it. */
type Signals = { period: string; fadedFor: number; signal: number }[]

/** After every plate the group is fitted afresh, as it would be, and asked whether that printer's film is worn. */
export function watchFilms(groups: number): Record<'service' | 'serviceAsOftenWrong' | 'runningSum', Watch> {
  const worlds = Array.from({ length: groups }, (_, group) => {
    const options = { ...usual, reports, members: 4, changedAfter: watched, filmLife: 25 }
    return invent(options, new Random(31_000 + group))
  })
  const service = worlds.map((world) => signalsOf(world, wornBy))
  const sums = worlds.map((world) => signalsOf(world, runningSumBy))
  return {
    service: judge(worlds, service, wantsLook),
    serviceAsOftenWrong: judge(worlds, service, limitFor(worlds, service)),
    runningSum: judge(worlds, sums, limitFor(worlds, sums)),
  }
}

function signalsOf(world: World, signalBy: (plates: readonly Plate[]) => number): Signals {
  return world.plates.slice(known).map(({ id, period }, at) => ({
    period,
    fadedFor: world.fadedFor.get(id) ?? Number.NaN,
    signal: signalBy(world.plates.slice(0, known + at + 1)),
  }))
}

/** P(worn) on the last plate. */
function wornBy(plates: readonly Plate[]): number {
  const { layout, worn } = fitGroup(plates, { sweeps: 150, kept: 100 })
  const last = plates.at(-1)?.id ?? ''
  return worn[layout.plateIds.indexOf(last)] ?? Number.NaN
}

/** A usual plate's share of failed copies, about; what is above it adds up, and never falls below nought (Page 1954). */
const usualFailures = 0.35

function runningSumBy(plates: readonly Plate[]): number {
  const period = plates.at(-1)?.period
  let sum = 0
  for (const { prints } of plates.filter((plate) => plate.period === period)) {
    const good = prints.reduce((total, print) => total + print.good, 0)
    const failed = prints.reduce((total, print) => total + print.failures.length, 0)
    sum = Math.max(0, sum + failed / (good + failed) - usualFailures)
  }
  return sum
}

/** The lowest limit with at most .4 false alarms a year. */
function limitFor(worlds: readonly World[], signals: readonly Signals[]): number {
  for (let limit = 0.02; limit < 10; limit += 0.02) {
    if (judge(worlds, signals, limit).falseAlarmsAYear <= 0.4) return limit
  }
  return Number.POSITIVE_INFINITY
}

function judge(worlds: readonly World[], signals: readonly Signals[], limit: number): Watch {
  const delays: number[] = []
  let [falseAlarms, printed] = [0, 0]
  worlds.forEach((world, at) => {
    for (const ofPeriod of Map.groupBy(signals[at] ?? [], ({ period }) => period).values()) {
      const isAlarm = ofPeriod.map(({ signal }) => signal > limit)
      ofPeriod.forEach(({ fadedFor }, plate) => {
        if (fadedFor <= 0 && isAlarm[plate] && !isAlarm[plate - 1]) falseAlarms++
      })
      const fading = ofPeriod.filter(({ fadedFor }) => fadedFor > 0)
      // Films that were watched from the beginning of their fade to its end.
      const [first, last] = [fading[0]?.fadedFor ?? Number.NaN, fading.at(-1)?.fadedFor ?? 0]
      if (!(first < 5 && last > watched - 5)) continue
      delays.push(fading.find(({ signal }) => signal > limit)?.fadedFor ?? watched)
    }
    printed += (world.printed * (reports - known)) / reports
  })
  return {
    limit,
    delay: median(delays),
    noticed: delays.filter((delay) => delay < watched).length,
    films: delays.length,
    falseAlarmsAYear: falseAlarms / (printed / platesAYear),
  }
}
