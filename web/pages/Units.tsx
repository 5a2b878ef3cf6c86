import { AsTable } from '../parts/as-table.tsx'
import { Button, ButtonLink } from '../parts/button.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { TextField } from '../parts/field.tsx'
import { Form } from '../parts/form.tsx'
import { Pager } from '../parts/pager.tsx'
import { type UnitRow, UnitRows } from './UnitRows.tsx'

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
        <TextField optional type="search" name="q" label="Name or other name; near enough will do" />
        <Button>Look up</Button>
      </Form>
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
