import type { ComponentChildren } from 'preact'
import { type Hatching, StackedBar, Swatch } from './hatching.tsx'
import { Money, notToBeHad } from './money.tsx'

/** The terms of an answer's score as the API gives them; they add up to the score to the last digit. */
export interface Breakdown extends Record<'resinForGood' | 'plates' | 'failures' | 'snagTime' | 'looks', string> {
  /** Null where the file can't be had. */
  price: string | null
}

/** What each term is called, how it is drawn, and in which order it is stacked. */
export const costTerms: { key: keyof Breakdown; words: string; kind: Hatching }[] = [
  { key: 'price', words: 'price', kind: 'price' },
  { key: 'resinForGood', words: 'resin', kind: 'resin' },
  { key: 'plates', words: 'plates', kind: 'plates' },
  { key: 'failures', words: 'failures', kind: 'failures' },
  { key: 'snagTime', words: 'time for snags', kind: 'snags' },
  { key: 'looks', words: 'looks', kind: 'looks' },
]

interface CostBarProps {
  breakdown: Breakdown
  currency: string
  /** Sum that fills the whole width: the dearest answer's score, so that the bars of a page share one scale. */
  max?: string
}

/** What an answer costs, stacked term by term; each with its sum for those who hear the page. */
export function CostBar({ breakdown, currency, max }: CostBarProps) {
  const total = costTerms.reduce((sum, { key }) => sum + Number(breakdown[key] ?? 0), 0)
  // Never wider than the drawing, even if a page forgot an answer when it looked for the dearest.
  const scale = Math.max(Number(max ?? 0), total)
  const pieces = costTerms.map(({ key, kind }) => ({
    key,
    kind,
    share: scale > 0 ? Number(breakdown[key] ?? 0) / scale : 0,
  }))
  return (
    <figure class="cost-bar">
      <StackedBar pieces={pieces} />
      <figcaption class="visually-hidden">
        <ul>
          {costTerms.every(({ key }) => !saysAnything(breakdown[key])) && <li>costs nothing</li>}
          {costTerms
            .filter(({ key }) => saysAnything(breakdown[key]))
            .map(({ key, words }) => (
              <li key={key}>
                {words} <Price amount={breakdown[key]} currency={currency} />
              </li>
            ))}
        </ul>
      </figcaption>
    </figure>
  )
}

/** A term of nothing is not listed; one without a price is. */
export const saysAnything = (amount: string | null) => amount === null || Number(amount) !== 0

function Price({ amount, currency }: { amount: string | null; currency: string }) {
  return amount === null ? notToBeHad : <Money value={{ amount, currency }} />
}

/** How the terms that some of these have are drawn, once for a list of bars. @param children what else the drawings mean */
export function CostLegend({ breakdowns, children }: { breakdowns: Breakdown[]; children: ComponentChildren }) {
  const terms = costTerms.filter(({ key }) => breakdowns.some((one) => saysAnything(one[key])))
  return (
    <div class="cost-legend">
      <ul class="legend" aria-label="How the cost bars are drawn">
        {terms.map(({ key, words, kind }) => (
          <li key={key}>
            <Swatch kind={kind} /> {words}
          </li>
        ))}
      </ul>
      <p class="quiet">{children}</p>
    </div>
  )
}
