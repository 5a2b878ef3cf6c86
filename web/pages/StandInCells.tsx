import { type Base, BaseSize } from '../parts/base-size.tsx'
import type { Breakdown } from '../parts/cost-bar.tsx'
import { Money, type MoneyValue, notToBeHad } from '../parts/money.tsx'
import type { FigureShadow } from '../parts/outline.ts'
import { type Basis, type Interval, type PrintSuccess, SuccessInterval } from '../parts/success-interval.tsx'

/** A file as a stand-in for the unit of the page. */
export interface StandIn {
  id: string
  title: string
  sculptor: string | null
  currency: string
  /** What can't be had has no price; these three are null then. */
  score: MoneyValue | null
  costToTable: MoneyValue | null
  badLuckCost: MoneyValue | null
  breakdown: Breakdown
  comesOut: Interval
  on?: string
  printSuccess: PrintSuccess & { basis: Basis }
  supportKind: string
  votes: { yes: number; no: number }
  obtainable: boolean
  whyNot: string | null
  blocked: boolean
  scaleMm: number | null
  base: Base | null
  heightMm: number | null
  options: string[]
  snags: string[]
  /** Null while nobody has measured it. */
  shadow: FigureShadow | null
}

/** What it comes to; what can’t be had has no price. */
export const Price = ({ value }: { value: MoneyValue | null }) => (value ? <Money value={value} /> : notToBeHad)

/** Scale and base beside the unit’s. */
export function Fit({ row, unit }: { row: StandIn; unit: { scaleMm: number; base: Base | null } }) {
  return (
    <>
      {row.scaleMm === null ? 'scale not known' : `${row.scaleMm} mm`}
      {row.scaleMm !== null && row.scaleMm !== unit.scaleMm && (
        <span class="quiet"> (the unit is {unit.scaleMm} mm)</span>
      )}
      {row.base && (
        <>
          {', '}
          <BaseSize base={row.base} wanted={unit.base} />
        </>
      )}
    </>
  )
}

export function StandInSuccess({ comesOut, printSuccess, on }: Pick<StandIn, 'comesOut' | 'printSuccess' | 'on'>) {
  return <SuccessInterval {...{ comesOut, printSuccess, basis: printSuccess.basis }} {...(on && { on })} />
}
