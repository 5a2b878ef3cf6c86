import { baseWords } from '../parts/base.ts'
import { AsTable, Beside, ButtonLink, EmptyState, Pager } from '../parts/blocks.tsx'
import { EditForm, LookUp, type RoutedForm } from '../parts/button-form.tsx'
import { BaseFields } from '../parts/choice-field.tsx'
import { DescribedHere } from '../parts/described-here.tsx'
import { MoneyField, NumberField, TextArea, TextField } from '../parts/field.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { counted } from '../parts/numbers.ts'
import type { FigureShadow } from '../parts/outline.ts'
import { type DrawnUnit, UnitShadow } from '../parts/shadow.tsx'
import { AddedByMistake, type Mistake } from './Merge.tsx'

interface Props {
  units: UnitRow[]
  next: string | null
  /** What was looked for; empty for the whole list. */
  q: string
}

/** Every unit that the group knows, to be looked up by name, alias or nearly so. */
export function Units({ units, next, q }: Props) {
  const add = `/units/new${q && `?name=${encodeURIComponent(q)}`}`
  return (
    <>
      <LookUp action="/units" label="Look a unit up" words="Name or other name; near enough will do" q={q} />
      {units.length === 0 ? (
        <EmptyState words={q ? `No unit is called anything like “${q}”.` : 'No units yet.'}>
          <ButtonLink href={add}>Add a unit</ButtonLink>
        </EmptyState>
      ) : (
        <>
          <UnitRows units={units} />
          <Pager href={next && `/units?after=${encodeURIComponent(next)}`} />
          <p>
            Not there? <a href={add}>Add a unit</a>, or <a href="/requests/new">ask the group for a stand-in</a>. See
            also all <a href="/files">files</a>.
          </p>
          <AsTable list="units" />
        </>
      )}
    </>
  )
}

export interface UnitRow extends DrawnUnit {
  id: string
  name: string
  aliases: string[]
  setting: string
  /** Of one that stands in for it; null while none is measured. */
  shadow: FigureShadow | null
  /** Its share of the box's price, to be held against `cheapest`; null where there is none. */
  boxPerModel?: MoneyValue | null
  standIns: number
  /** What its cheapest stand-in costs to the table, a model; null while none can be had. Search has no prices. */
  cheapest?: MoneyValue | null
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

interface EditProps extends RoutedForm {
  currencies: [string, ...string[]]
  /** Of a unit that is there already. */
  mistake?: Mistake
}

/** Adds a unit or changes one. */
export function EditUnit({ currencies, mistake, ...form }: EditProps) {
  return (
    <>
      <EditForm {...form} button="Keep this unit">
        <UnitFields currencies={currencies} />
        <Beside>
          <DescribedHere what="unit" />
        </Beside>
      </EditForm>
      {mistake && <AddedByMistake kind="unit" {...mistake} />}
    </>
  )
}

/** What has to be known of a unit; also asked within a request for a unit that nobody has entered yet. */
export function UnitFields({ prefix = '', currencies }: { prefix?: string; currencies: [string, ...string[]] }) {
  return (
    <>
      <TextField name={`${prefix}name`} label="Name of the unit" />
      <TextArea
        optional
        rows={2}
        name={`${prefix}aliases`}
        label="Other names"
        hint="One a line: short forms, older names. They are found as well."
      />
      <TextField optional name={`${prefix}setting`} label="Setting" hint="The world or game system it belongs to." />
      <NumberField name={`${prefix}scaleMm`} label="Scale" unit="mm" hint="Usually 28 or 32." />
      <BaseFields prefix={prefix} />
      <NumberField whole name={`${prefix}modelsPerUnit`} label="Models in one unit" />
      <MoneyField optional name={`${prefix}retailPrice`} label="Price of its box" currencies={currencies} />
    </>
  )
}
