import { Chart, heightIn } from './chart.tsx'
import { percent } from './hatching.tsx'
import { countedHundredths } from './numbers.ts'

/** What came off in a month, of one revision. */
export interface MonthOfPrints {
  /** Its first day, `YYYY-MM-DD`. */
  month: string
  /** The day that its prints lie around: where they are drawn, so that none stands before its revision. */
  around: string
  revision: string
  /** Of the revision that is on offer now. */
  isNewest: boolean
  tried: number
  good: number
}

interface Props {
  /** Oldest first. */
  months: MonthOfPrints[]
  /** Days on which a revision came out. */
  releases: { label: string; on: string }[]
}

const [top, bottom] = [26, 126]
const heightOf = heightIn({ top, bottom })
const [smallest, largest] = [3, 11]
/** A dot's area goes by its copies, up to as many as a few plates take. */
const radiusOf = (tried: number) => Math.min(largest, Math.max(smallest, 1.4 * Math.sqrt(tried)))
/** Room at either end, so that the first and the last dot are not cut off. */
const margin = 0.03

/** How prints came off month by month: a dot a month and revision, larger for more copies, hollow for earlier revisions. */
export function PrintsOverTime({ months, releases }: Props) {
  const days = months.map(({ around }) => Date.parse(around))
  const [first, last] = [Math.min(...days), Math.max(...days)]
  if (months.length === 0 || first === last) return null
  const at = (day: string) => percent(margin + ((1 - 2 * margin) * (Date.parse(day) - first)) / (last - first))
  const within = releases.filter(({ on }) => Date.parse(on) >= first && Date.parse(on) <= last)
  return (
    <Chart
      class="prints-over-time"
      heightPx={bottom + 30}
      label={`How its prints came off, month by month. ${months.map(monthWords).join(' ')}`}
      marks={[0, 50, 100]}
      heightOf={heightOf}
      caption={
        <>
          Good copies of 100, as they came off: a dot a month, larger for more copies
          {months.some(({ isNewest }) => !isNewest) && ', hollow for earlier revisions'}
          {within.length > 0 && '; a broken line is the day a revision came out'}. Failures caused by machine and plate
          are included.
        </>
      }
    >
      {within.map(({ label, on }) => (
        <g key={label}>
          <line class="upkeep-mark" x1={at(on)} x2={at(on)} y1={top - 8} y2={bottom} />
          <text class="ruler-words" x={at(on)} y={top - 12} text-anchor="middle">
            {label}
          </text>
        </g>
      ))}
      {months.map(({ month, around, revision, isNewest, tried, good }) => (
        <circle
          key={`${month} ${revision}`}
          class={isNewest ? 'prints-dot' : 'prints-dot prints-dot-earlier'}
          cx={at(around)}
          cy={heightOf(good / tried)}
          r={radiusOf(tried)}
        />
      ))}
      {[first, last].map((day, end) => (
        <text
          key={day}
          class="ruler-words"
          x={end === 0 ? '0' : '100%'}
          y={bottom + 22}
          text-anchor={end === 0 ? 'start' : 'end'}
        >
          {monthForm.format(day)}
        </text>
      ))}
    </Chart>
  )
}

const monthForm = new Intl.DateTimeFormat('en-GB', { month: 'short', year: 'numeric', timeZone: 'UTC' })

/** "Jun 2026, 2.0: 12 of 15 good, 80 of 100." */
const monthWords = ({ month, revision, tried, good }: MonthOfPrints) =>
  `${monthForm.format(new Date(month))}, ${revision}: ${good} of ${tried} good, ${countedHundredths(good / tried)} of 100.`
