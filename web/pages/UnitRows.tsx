import { baseWords } from '../parts/base-size.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { counted } from '../parts/numbers.ts'
import type { FigureShadow } from '../parts/outline.ts'
import { type DrawnUnit, UnitShadow } from '../parts/unit-shadow.tsx'

export interface UnitRow extends DrawnUnit {
  id: string
  name: string
  aliases: string[]
  setting: string
  /** Of one that stands in for it; null while none is measured. */
  shadow: FigureShadow | null
  /** Its share of the box's price, to be held against `cheapest`; null where there is none. */
  boxPerModel: MoneyValue | null
  standIns: number
  /** What its cheapest stand-in costs to the table, a model; null while none can be had. */
  cheapest: MoneyValue | null
}

/** Units close-set, two lines each on a phone: what stands in for it, its name, what it costs. */
export function UnitRows({ units }: { units: UnitRow[] }) {
  return (
    <ul class="rows rows-units">
      {units.map((unit) => (
        <li key={unit.id}>
          <span class="row-drawing">
            <UnitShadow unit={unit} />
          </span>
          <a class="row-name" href={`/units/${unit.id}`}>
            {unit.name}
          </a>
          <Note unit={unit} />
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
            {unit.boxPerModel && (
              <>
                the box, <Money value={unit.boxPerModel} /> a model
              </>
            )}
          </span>
        </li>
      ))}
    </ul>
  )
}

/** "7 stand-ins; 25 mm round, 28 mm; also Marsh Wardens; The Ebb Years"; on a phone what sets it apart and can be read whole. */
function Note({ unit: { standIns, scaleMm, base, aliases, setting } }: { unit: UnitRow }) {
  const known = standIns === 0 ? 'no stand-in yet' : counted(standIns, 'stand-in')
  const size = [base && baseWords(base), `${scaleMm} mm`].filter(Boolean).join(', ')
  const also = aliases.length > 0 ? `; also ${aliases.join(', ')}` : ''
  return (
    <span class="row-note">
      <span class={standIns > 0 ? 'row-detail' : undefined}>{`${known}; `}</span>
      <span class="row-detail">{`${size}${also}${setting && '; '}`}</span>
      {setting}
    </span>
  )
}
