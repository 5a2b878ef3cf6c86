import { AsTable } from '../parts/as-table.tsx'
import { type Base, BaseSize } from '../parts/base-size.tsx'
import { Button, ButtonLink } from '../parts/button.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { TextField } from '../parts/field.tsx'
import { Form } from '../parts/form.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { Pager } from '../parts/pager.tsx'

interface UnitRow {
  id: string
  name: string
  aliases: string[]
  setting: string
  scaleMm: number
  base: Base | null
  retailPrice: MoneyValue | null
  standIns: number
}

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
      <Form action="/units" method="get" class="search" label="Look a unit up" values={{ q }}>
        <TextField optional type="search" name="q" label="Name, other name, or nearly so" />
        <Button>Look up</Button>
      </Form>
      {units.length === 0 ? (
        <EmptyState words={q ? `No unit is called anything like “${q}”.` : 'No units yet.'}>
          <ButtonLink href={add}>Add a unit</ButtonLink>
        </EmptyState>
      ) : (
        <>
          <DataTable caption="Units" captionHidden rows={units} rowKey={(unit) => unit.id} columns={columns} />
          <Pager href={next && `/units?after=${encodeURIComponent(next)}`} />
          <AsTable list="units" />
          <p>
            Not there? <a href={add}>Add a unit</a>, or <a href="/requests/new">ask the group for a stand-in</a>.
          </p>
        </>
      )}
    </>
  )
}

const columns = [
  {
    label: 'Unit',
    head: true,
    cell: (unit: UnitRow) => (
      <>
        <a href={`/units/${unit.id}`}>{unit.name}</a>
        {unit.aliases.length > 0 && <small> also {unit.aliases.join(', ')}</small>}
      </>
    ),
  },
  { label: 'Setting', cell: (unit: UnitRow) => unit.setting },
  { label: 'Scale', figures: true, cell: (unit: UnitRow) => `${unit.scaleMm} mm` },
  { label: 'Base', cell: (unit: UnitRow) => unit.base && <BaseSize base={unit.base} /> },
  { label: 'Box', figures: true, cell: (unit: UnitRow) => unit.retailPrice && <Money value={unit.retailPrice} /> },
  { label: 'Known stand-ins', figures: true, cell: (unit: UnitRow) => unit.standIns },
]
