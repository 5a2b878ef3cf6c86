import { AsTable, ButtonLink, EmptyState, Pager } from '../parts/blocks.tsx'
import { LookUp } from '../parts/button-form.tsx'
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
