import { type Base, baseWords } from '../parts/base-size.tsx'
import { BaseMark, baseScale } from '../parts/bases.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'

export interface UnitRow {
  id: string
  name: string
  aliases: string[]
  setting: string
  scaleMm: number
  base: Base | null
  retailPrice: MoneyValue | null
  standIns: number
  /** What its cheapest stand-in costs to the table, a model; null while none can be had. */
  cheapest: MoneyValue | null
}

/** The longest base of a list is drawn so wide. */
const widestPx = 60

/** Units close-set, two lines each on a phone: the base drawn at one scale, its name, what it costs. */
export function UnitRows({ units }: { units: UnitRow[] }) {
  const pxPerMm = baseScale(
    units.map(({ base }) => base),
    widestPx,
  )
  return (
    <ul class="rows">
      {units.map((unit) => (
        <li key={unit.id}>
          <span class="row-drawing">{unit.base && <BaseMark base={unit.base} pxPerMm={pxPerMm} />}</span>
          <a class="row-name" href={`/units/${unit.id}`}>
            {unit.name}
          </a>
          <span class="row-note">{noteOf(unit)}</span>
          <span class="row-sum">
            {unit.cheapest && (
              <>
                <strong>
                  <Money value={unit.cheapest} />
                </strong>{' '}
                a model
              </>
            )}
          </span>
          <span class="row-note row-far">
            {unit.retailPrice && (
              <>
                the box <Money value={unit.retailPrice} />
              </>
            )}
          </span>
        </li>
      ))}
    </ul>
  )
}

/** "7 stand-ins; 25 mm round, 28 mm; also Marsh Wardens; The Ebb Years". */
function noteOf({ standIns, scaleMm, base, aliases, setting }: UnitRow): string {
  const known = standIns === 0 ? 'no stand-in yet' : standIns === 1 ? '1 stand-in' : `${standIns} stand-ins`
  const also = aliases.length > 0 && `also ${aliases.join(', ')}`
  return [known, [base && baseWords(base), `${scaleMm} mm`].filter(Boolean).join(', '), also, setting]
    .filter(Boolean)
    .join('; ')
}
