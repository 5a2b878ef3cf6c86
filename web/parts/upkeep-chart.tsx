import { Chart, heightIn, UpkeepMark } from './chart.tsx'
import { dayWords } from './date-words.tsx'
import { hatch, percent } from './hatching.tsx'
import { hundredths } from './numbers.ts'
import { useReader } from './reader.tsx'
import type { PrintSuccess } from './success-interval.tsx'

export interface ChartedPeriod {
  /** Day of the upkeep that began it; null for the time before any was noted. */
  startsOn: string | null
  success: PrintSuccess
  /** What was done that day. */
  kinds: string[]
}

const room = { top: 24, bottom: 188 }
const heightOf = heightIn(room)
/** Days of more periods than these run into each other on a phone, so that every other one stands a line lower. */
const fewPeriods = 5
const line = 17

/**
 * Success of a machine by upkeep period, the oldest at the left: the range as a hatched block, the likeliest share as a
 * line through it, every day of upkeep as a broken line. A table with the same figures belongs beside it.
 *
 * @param of how many periods there are, where not all of them are drawn
 */
export function UpkeepChart({ periods, of }: { periods: ChartedPeriod[]; of?: number }) {
  const { locale } = useReader()
  const lower = periods.length > fewPeriods ? line : 0
  const width = 1 / periods.length
  return (
    <Chart
      class="upkeep-chart"
      heightPx={room.bottom + 32 + lower}
      label={`Success of the machine by upkeep period. ${periods.map((period) => periodWords(period, locale)).join(' ')}`}
      marks={[0, 25, 50, 75, 100]}
      heightOf={heightOf}
      caption={
        <>
          Good copies of 100. A block is where the machine most likely is (8 times out of 10), the line through it the
          likeliest share; a broken line is a day of upkeep. Without a block nothing was printed.
          {of !== undefined &&
            of > periods.length &&
            ` The latest ${periods.length} of ${of} periods are drawn; the table has them all.`}
        </>
      }
    >
      {periods.map((period, index) => (
        <g key={period.startsOn ?? 'before'}>
          {period.startsOn !== null && <UpkeepMark at={index * width} {...room} />}
          {period.success.copies > 0 && <Block success={period.success} from={index * width} width={width} />}
          <text
            class="ruler-words"
            x={percent((index + 0.5) * width)}
            y={room.bottom + 22 + (index % 2) * lower}
            text-anchor="middle"
          >
            {period.startsOn === null ? 'before' : shortDay(period.startsOn)}
          </text>
        </g>
      ))}
    </Chart>
  )
}

function Block({ success, from, width }: { success: PrintSuccess; from: number; width: number }) {
  const [high, low, mean] = [heightOf(success.high), heightOf(success.low), heightOf(success.mean)]
  const [left, right] = [percent(from + 0.2 * width), percent(from + 0.8 * width)]
  return (
    <>
      <rect
        class="bar-piece"
        x={left}
        y={high}
        width={percent(0.6 * width)}
        height={Math.max(1, low - high)}
        fill={hatch('machine')}
      />
      <line class="chart-mean" x1={left} x2={right} y1={mean} y2={mean} />
      <text class="chart-words" x={percent(from + 0.5 * width)} y={high - 6} text-anchor="middle">
        {hundredths(success.mean)}
      </text>
    </>
  )
}

/** "3 Mar": the year is in the table. */
const shortDay = (day: string) => shortForm.format(new Date(`${day}T00:00Z`))

const shortForm = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', timeZone: 'UTC' })

function periodWords({ startsOn, kinds, success }: ChartedPeriod, locale: string): string {
  const since = startsOn === null ? 'Before any upkeep' : `Since ${dayWords(startsOn, locale)}`
  const done = kinds.length > 0 ? ` (${kinds.join(', ')})` : ''
  if (success.copies <= 0) return `${since}${done}: nothing printed.`
  const [low, mean, high] = [success.low, success.mean, success.high].map(hundredths)
  return `${since}${done}: ${mean} of 100, most likely between ${low} and ${high}.`
}
