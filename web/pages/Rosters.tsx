import { ButtonLink } from '../parts/button.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { Pager } from '../parts/pager.tsx'
import { Section } from '../parts/section.tsx'

interface Row {
  id: string
  name: string
  owner: { name: string }
  shared: boolean
  entries: number
  models: number
}

interface Props {
  mine: Row[]
  others: Row[]
  /** Addresses of the rest of each list. */
  next: { mine: string | null; others: string | null }
}

/** One's own rosters, and those that the others share. */
export function Rosters({ mine, others, next }: Props) {
  return (
    <>
      <div class="actions">
        <ButtonLink main href="/rosters/new">
          Paste a list
        </ButtonLink>
      </div>
      <Section heading="My rosters" id="mine">
        {mine.length === 0 ? (
          <EmptyState words="None yet. Paste a list of units, and plan what to buy and print for all of it at once.">
            <ButtonLink href="/rosters/new">Paste a list</ButtonLink>
          </EmptyState>
        ) : (
          <DataTable
            caption="My rosters"
            captionHidden
            rows={mine}
            rowKey={idOf}
            columns={[...columns, sharedColumn]}
          />
        )}
        <Pager href={next.mine} />
      </Section>
      {others.length > 0 && (
        <Section heading="Everyone else’s" id="others">
          <DataTable
            caption="Rosters of the others"
            captionHidden
            rows={others}
            rowKey={idOf}
            columns={[...columns, ownerColumn]}
          />
          <Pager href={next.others} />
        </Section>
      )}
    </>
  )
}

const idOf = (row: Row) => row.id

const columns = [
  { label: 'Roster', head: true, cell: (row: Row) => <a href={`/rosters/${row.id}`}>{row.name}</a> },
  { label: 'Entries', figures: true, cell: (row: Row) => row.entries },
  { label: 'Models', figures: true, cell: (row: Row) => row.models },
]
const sharedColumn = { label: 'Who may read it', cell: (row: Row) => (row.shared ? 'the group' : 'only me') }
const ownerColumn = { label: 'Whose', cell: (row: Row) => row.owner.name }
