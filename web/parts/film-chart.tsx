import { DataTable } from './data-table.tsx'
import { DateWords, dayWords } from './date-words.tsx'
import { Disclosure } from './disclosure.tsx'
import type { FilmPlate } from './film-plate.ts'
import { percent } from './hatching.tsx'
import { hundredths, ofHundred } from './of-hundred.ts'
import { useReader } from './reader.tsx'
import { Rulers } from './rulers.tsx'

interface Props {
  /** Unique on the page. */
  id: string
  /** Oldest first. */
  plates: FilmPlate[]
  /** The plate with which the wear most likely began. */
  wornSince: string | null
  /** What was done to the printer since the last of the plates. */
  upkeepSince: string[]
}

const top = 28
const bottom = 168
const heightOf = (share: number) => Number((bottom - share * (bottom - top)).toFixed(1))
const marks = [0, 25, 45, 75, 100]
/** From here on a look is due. */
const wantsLook = 45

/**
 * How likely film or level was worn, plate by plate: a dot a plate, hollow where something on it failed, a broken line
 * where something was done to the printer, and a line where the wear most likely began. The same as a table below.
 */
export function FilmChart({ id, plates, wornSince, upkeepSince }: Props) {
  const { locale } = useReader()
  const at = (index: number) => (index + 0.5) / plates.length
  const change = plates.findIndex((plate) => plate.id === wornSince)
  return (
    <figure class="upkeep-chart film-chart">
      <svg width="100%" height={bottom + 28} role="img" aria-labelledby={`${id}-title ${id}-words`}>
        <title id={`${id}-title`}>How likely film or level was worn, plate by plate</title>
        <desc id={`${id}-words`}>{chartWords(plates, change, upkeepSince, locale)}</desc>
        <Rulers marks={marks} heightOf={heightOf} limit={wantsLook} />
        {plates.map((plate, index) => plate.upkeep && <UpkeepMark key={plate.id} at={index / plates.length} />)}
        {upkeepSince.length > 0 && <UpkeepMark at={1} />}
        {change >= 0 && <ChangeMark at={at(change)} />}
        {plates.map((plate, index) => (
          <Dot key={plate.id} plate={plate} at={at(index)} />
        ))}
      </svg>
      <figcaption class="quiet">
        The chance, of 100, that film or level was worn on each of {platesWords(plates.length)}, by what is known now. A
        hollow dot: something on that plate failed. A broken line: upkeep.
        {change >= 0 && ' The upright line: where the wear most likely began.'} From {wantsLook} on it wants a look.
      </figcaption>
      <Disclosure summary="The same as a table">
        <DataTable caption="Plates" captionHidden rows={plates.toReversed()} rowKey={keyOf} columns={columns} />
      </Disclosure>
    </figure>
  )
}

const strip = 44

/**
 * The same in a line, for a list: the latest plates, the dotted line from which on it wants a look. For the eye only: the
 * list says it in words.
 */
export function FilmStrip({ plates }: { plates: FilmPlate[] }) {
  const heightOf = (share: number) => Number((strip - 6 - share * (strip - 12)).toFixed(1))
  return (
    <svg class="film-strip" width="100%" height={strip} aria-hidden="true">
      <line class="ruler" x1="0" x2="100%" y1={strip - 1} y2={strip - 1} />
      <line class="ruler film-limit" x1="0" x2="100%" y1={heightOf(wantsLook / 100)} y2={heightOf(wantsLook / 100)} />
      {plates.map(({ id, upkeep }, index) => {
        const x = percent(index / plates.length)
        return upkeep && <line key={id} class="upkeep-mark" x1={x} x2={x} y1="0" y2={strip} />
      })}
      {plates.map(({ id, worn, good, tried }, index) => (
        <circle
          key={id}
          class={dotClass({ worn, good, tried })}
          cx={percent((index + 0.5) / plates.length)}
          cy={heightOf(worn ?? 0)}
          r="4"
        />
      ))}
    </svg>
  )
}

const keyOf = (plate: FilmPlate) => plate.id

const platesWords = (count: number) => (count === 1 ? 'the only plate' : `the latest ${count} plates`)

function UpkeepMark({ at }: { at: number }) {
  return (
    <>
      <line class="upkeep-mark" x1={percent(at)} x2={percent(at)} y1={top - 10} y2={bottom} />
      <circle class="upkeep-dot" cx={percent(at)} cy={top - 12} r="4" />
    </>
  )
}

function ChangeMark({ at }: { at: number }) {
  const isRight = at > 0.5
  return (
    <>
      <line class="film-change" x1={percent(at)} x2={percent(at)} y1={top - 4} y2={bottom} />
      <text
        class="chart-words"
        x={percent(at)}
        dx={isRight ? -6 : 6}
        y={top - 8}
        text-anchor={isRight ? 'end' : 'start'}
      >
        most likely here
      </text>
    </>
  )
}

function Dot({ plate, at }: { plate: FilmPlate; at: number }) {
  return <circle class={dotClass(plate)} cx={percent(at)} cy={heightOf(plate.worn ?? 0)} r="4" />
}

/** One that is not counted yet lies on the ground, pale. */
function dotClass({ worn, good, tried }: Pick<FilmPlate, 'worn' | 'good' | 'tried'>): string {
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
