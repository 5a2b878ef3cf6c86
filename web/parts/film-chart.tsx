import { Disclosure } from './blocks.tsx'
import { Chart, heightIn, UpkeepMark } from './chart.tsx'
import { DataTable } from './data-table.tsx'
import { DateWords, dayWords } from './date-words.tsx'
import { percent } from './hatching.tsx'
import { hundredths, ofHundred } from './numbers.ts'
import { useReader } from './reader.tsx'

/** A plate in the drawing of a printer's film. */
export interface FilmPlate {
  id: string
  printedOn: string
  tried: number
  good: number
  /** Chance that the film was worn or the level off on it; null while it is not counted. */
  worn: number | null
  /** What was done to the printer just before it. */
  upkeep?: string[] | undefined
}

interface Props {
  /** Oldest first. */
  plates: FilmPlate[]
  /** The plate with which the wear most likely began. */
  wornSince: string | null
  /** What was done to the printer since the last of the plates. */
  upkeepSince: string[]
}

const room = { top: 28, bottom: 168 }
const heightOf = heightIn(room)
/** From here on a look is due. */
const wantsLook = 45

/**
 * How likely the film was worn or the level off, plate by plate: a dot a plate, hollow where something on it failed, a broken line
 * where something was done to the printer, and a line where the wear most likely began. The same as a table below.
 */
export function FilmChart({ plates, wornSince, upkeepSince }: Props) {
  const { locale } = useReader()
  const at = (index: number) => (index + 0.5) / plates.length
  const change = plates.findIndex((plate) => plate.id === wornSince)
  return (
    <Chart
      class="upkeep-chart film-chart"
      heightPx={room.bottom + 28}
      label={`How likely the film was worn or the level off, plate by plate. ${chartWords(plates, change, upkeepSince, locale)}`}
      marks={[0, 25, 45, 75, 100]}
      heightOf={heightOf}
      limit={wantsLook}
      caption={
        <>
          The chance, of 100, that the film was worn or the level off on each of {platesWords(plates.length)}, by what
          is known now. A hollow dot: something on that plate failed. A broken line: upkeep.
          {change >= 0 && ' The upright line: where the wear most likely began.'} From {wantsLook} on it wants a look.
        </>
      }
      more={
        <Disclosure summary="The same as a table">
          <DataTable
            caption="Plates"
            captionHidden
            rows={plates.toReversed()}
            rowKey={({ id }) => id}
            columns={columns}
          />
        </Disclosure>
      }
    >
      {plates.map(({ id, upkeep }, index) => upkeep && <UpkeepMark key={id} at={index / plates.length} {...room} />)}
      {upkeepSince.length > 0 && <UpkeepMark at={1} {...room} />}
      {change >= 0 && <ChangeMark at={at(change)} />}
      <Dots plates={plates} heightOf={heightOf} />
    </Chart>
  )
}

const strip = 44

/**
 * The same in a line, for a list: the latest plates, the dotted line from which on it wants a look. For the eye only: the
 * list says it in words.
 */
export function FilmStrip({ plates }: { plates: FilmPlate[] }) {
  const heightOf = heightIn({ top: 6, bottom: strip - 6 })
  return (
    <svg class="film-strip" width="100%" height={strip} aria-hidden="true">
      <line class="ruler" x1="0" x2="100%" y1={strip - 1} y2={strip - 1} />
      <line class="ruler film-limit" x1="0" x2="100%" y1={heightOf(wantsLook / 100)} y2={heightOf(wantsLook / 100)} />
      {plates.map(({ id, upkeep }, index) => {
        const x = percent(index / plates.length)
        return upkeep && <line key={id} class="upkeep-mark" x1={x} x2={x} y1="0" y2={strip} />
      })}
      <Dots plates={plates} heightOf={heightOf} />
    </svg>
  )
}

const platesWords = (count: number) => (count === 1 ? 'the only plate' : `the latest ${count} plates`)

function ChangeMark({ at }: { at: number }) {
  const isRight = at > 0.5
  return (
    <>
      <line class="film-change" x1={percent(at)} x2={percent(at)} y1={room.top - 4} y2={room.bottom} />
      <text
        class="chart-words"
        x={percent(at)}
        dx={isRight ? -6 : 6}
        y={room.top - 8}
        text-anchor={isRight ? 'end' : 'start'}
      >
        most likely here
      </text>
    </>
  )
}

/** A dot a plate. */
function Dots({ plates, heightOf }: { plates: FilmPlate[]; heightOf: (share: number) => number }) {
  return plates.map((plate, index) => (
    <circle
      key={plate.id}
      class={dotClass(plate)}
      cx={percent((index + 0.5) / plates.length)}
      cy={heightOf(plate.worn ?? 0)}
      r="4"
    />
  ))
}

/** One that is not counted yet lies on the ground, pale. */
function dotClass({ worn, good, tried }: FilmPlate): string {
  if (worn === null) return 'film-dot film-dot-waiting'
  return good < tried ? 'film-dot film-dot-failed' : 'film-dot'
}

/** What is seen in the drawing: where it stands, where it turned, what was done. */
function chartWords(plates: readonly FilmPlate[], change: number, upkeepSince: string[], locale: string): string {
  const [first, last] = [plates[0], plates.at(-1)]
  if (!first || !last) return ''
  const days = `${platesWords(plates.length)}, ${dayWords(first.printedOn, locale)} to ${dayWords(last.printedOn, locale)}`
  const counted = plates.findLast(({ worn }) => worn !== null)
  const now = counted ? ` At the latest one it is ${ofHundred(counted.worn ?? 0)}.` : ' They are not counted yet.'
  const began = plates[change]
  const since = began ? ` Worn most likely since the plate of ${dayWords(began.printedOn, locale)}.` : ''
  const done = plates.flatMap(({ upkeep, printedOn }) =>
    upkeep ? [` ${upkeep.join(' and ')} before the plate of ${dayWords(printedOn, locale)}.`] : [],
  )
  const after = upkeepSince.length > 0 ? ` ${upkeepSince.join(' and ')} since the latest plate.` : ''
  return `Over ${days}.${now}${since}${done.join('')}${after}`
}

const columns = [
  {
    label: 'Plate of',
    head: true,
    cell: ({ printedOn, id }: FilmPlate) => (
      <a href={`/plates/${id}`}>
        <DateWords on={printedOn} />
      </a>
    ),
  },
  { label: 'Good copies', cell: ({ good, tried }: FilmPlate) => `${good} of ${tried}` },
  {
    label: 'Worn, of 100',
    figures: true,
    cell: ({ worn }: FilmPlate) => (worn === null ? 'not counted yet' : hundredths(worn)),
  },
  { label: 'Done before it', cell: ({ upkeep }: FilmPlate) => upkeep?.join(', ') ?? '' },
]
