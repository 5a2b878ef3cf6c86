import type { ComponentChildren } from 'preact'
import { type Hatching, hatch, percent, Swatch } from './hatching.tsx'
import { Money, type MoneyValue, moneyWords } from './money.tsx'
import { useReader } from './reader.tsx'

/** What one kind of thing has cost, and what it will still cost. */
export interface BarTerm {
  words: string
  kind: Hatching
  spent: MoneyValue
  toCome: MoneyValue
}

export interface TwoBarsProps {
  /** What the boxes would cost; null where no price of a box is known. */
  boxes: MoneyValue | null
  /** Whose boxes: "the boxes", "the boxes of what the plan covers". */
  boxesWords?: string
  terms: BarTerm[]
  spent: MoneyValue
  /** Null while nothing is planned: then nobody knows. */
  toCome: MoneyValue | null
  /** Both together. */
  all: MoneyValue
}

const height = 26
/** Beyond this share of the width the sum has no room behind its bar. */
const roomUntil = 0.8

/** The boxes above, what is spent and still to be spent below, on one scale; the spent full, what is to come paler. */
export function TwoBars(props: TwoBarsProps) {
  const { boxes, boxesWords = 'the boxes', spent, toCome, all } = props
  const scale = Math.max(Number(boxes?.amount ?? 0), Number(all.amount))
  if (scale <= 0) return null
  const isBegun = Number(spent.amount) > 0
  const isKnown = isBegun || toCome !== null
  return (
    <figure class="two-bars">
      {boxes && (
        <>
          <p class="bar-words">{boxesWords}</p>
          <Bar label={boxes} share={Number(boxes.amount) / scale}>
            <rect class="bar-boxes" x="0" y="1" width={percent(Number(boxes.amount) / scale)} height={height} />
          </Bar>
        </>
      )}
      {isKnown && (
        <>
          <p class="bar-words">
            {isBegun ? (
              <>
                <Money value={spent} /> spent
                {toCome && Number(toCome.amount) > 0 && (
                  <>
                    , <Money value={toCome} /> still to spend
                  </>
                )}
              </>
            ) : (
              'still to spend'
            )}
          </p>
          <Bar label={all} share={Number(all.amount) / scale}>
            <Pieces {...props} scale={scale} />
          </Bar>
          <figcaption>
            <Legend {...props} />
          </figcaption>
        </>
      )}
    </figure>
  )
}

interface BarProps {
  label: MoneyValue
  share: number
  children: ComponentChildren
}

/** For the eye: the sums stand in words beside and below it. */
function Bar({ label, share, children }: BarProps) {
  const { locale } = useReader()
  const isInside = share > roomUntil
  return (
    <svg class="bar" width="100%" height={height + 2} role="img" aria-label={moneyWords(label, locale)}>
      {children}
      <text
        class={isInside ? 'bar-sum bar-sum-inside' : 'bar-sum'}
        x={percent(share)}
        dx={isInside ? -8 : 10}
        y={height - 6}
        text-anchor={isInside ? 'end' : 'start'}
      >
        {moneyWords(label, locale)}
      </text>
    </svg>
  )
}

function Pieces({ terms, spent, all, scale }: TwoBarsProps & { scale: number }) {
  const pieces = [
    ...placed(terms, (term) => Number(term.spent.amount), 0),
    ...placed(terms, (term) => Number(term.toCome.amount), Math.max(0, Number(spent.amount))),
  ]
  const tick = Number(spent.amount)
  return (
    <>
      {pieces.map(({ key, kind, from, to }, index) => (
        <rect
          key={`${key} ${index}`}
          class={from >= tick ? 'bar-piece bar-to-come' : 'bar-piece'}
          x={percent(from / scale)}
          y="1"
          width={percent((to - from) / scale)}
          height={height}
          fill={hatch(kind)}
        />
      ))}
      {tick > 0 && tick < Number(all.amount) && (
        <line class="bar-tick" x1={percent(tick / scale)} x2={percent(tick / scale)} y1="0" y2={height + 8} />
      )}
    </>
  )
}

/** Pieces end to end. What came in from others is taken off the first ones: their part was paid by somebody else. */
function placed(terms: BarTerm[], of: (term: BarTerm) => number, start: number) {
  let cameIn = terms.reduce((sum, term) => sum - Math.min(0, of(term)), 0)
  let from = start
  return terms.flatMap((term) => {
    const whole = Math.max(0, of(term))
    const off = Math.min(whole, cameIn)
    cameIn -= off
    if (whole - off <= 0) return []
    const piece = { key: term.words, kind: term.kind, from, to: from + whole - off }
    from = piece.to
    return [piece]
  })
}

/** What each filling stands for, with its sums; nothing of zero. */
function Legend({ terms, spent: allSpent, toCome: allToCome }: TwoBarsProps) {
  const isBoth = Number(allSpent.amount) > 0 && Number(allToCome?.amount ?? 0) > 0
  const said = terms.filter(({ spent, toCome }) => Number(spent.amount) !== 0 || Number(toCome.amount) !== 0)
  return (
    <ul class="legend">
      {said.map(({ words, kind, spent, toCome }) => (
        <li key={words}>
          <Swatch kind={kind} /> {words}{' '}
          {Number(spent.amount) !== 0 && (
            <>
              <Money value={spent} />
              {isBoth && ' spent'}
              {Number(toCome.amount) !== 0 && ', '}
            </>
          )}
          {Number(toCome.amount) !== 0 && (
            <>
              <Money value={toCome} />
              {isBoth && ' to come'}
            </>
          )}
        </li>
      ))}
    </ul>
  )
}
