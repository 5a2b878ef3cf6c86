import { AsTable } from '../parts/as-table.tsx'
import { ButtonLink } from '../parts/button.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { ofHundred } from '../parts/of-hundred.ts'
import { Pager } from '../parts/pager.tsx'
import { Section } from '../parts/section.tsx'
import { MachineSuccess, type MachineSuccessProps } from './Printer.tsx'

interface PrinterRow {
  id: string
  name: string
  owner: { id: string; name: string }
  state: 'in use' | 'retired'
  lastUpkeepOn: string | null
  success: MachineSuccessProps['success']
  look: { due: boolean; because: string; worn: number; wornSince: { printedOn: string } | null }
}

interface Props {
  mine: PrinterRow[]
  others: PrinterRow[]
  /** Cursor of the rest of the others. */
  next: string | null
}

/** One's own printers, and those of the others: what comes off them is the group's evidence. */
export function Printers({ mine, others, next }: Props) {
  return (
    <>
      <Section heading="Mine">
        {mine.length === 0 ? (
          <EmptyState words="You have no printer here yet. Add yours, so that your reports can tell the file from the machine.">
            <ButtonLink main href="/printers/new">
              Add a printer
            </ButtonLink>
          </EmptyState>
        ) : (
          <>
            <DataTable caption="My printers" captionHidden rows={mine} rowKey={keyOf} columns={[name, ...columns]} />
            <p>
              <ButtonLink href="/printers/new">Add another printer</ButtonLink>
            </p>
          </>
        )}
        <p>
          What you pour in: <a href="/resins">your resins</a>, by which your prints are priced.
        </p>
      </Section>
      <Section heading="The others'">
        {others.length === 0 ? (
          <EmptyState words="Nobody else has added a printer yet." />
        ) : (
          <>
            <DataTable
              caption="Printers of the other members"
              captionHidden
              rows={others}
              rowKey={keyOf}
              columns={[name, owner, ...columns]}
            />
            <Pager href={next && `/printers?after=${encodeURIComponent(next)}`} />
            <AsTable list="reports" words="All prints as a table (CSV)" />
          </>
        )}
      </Section>
    </>
  )
}

const keyOf = (printer: PrinterRow) => printer.id

const name = {
  label: 'Printer',
  head: true,
  cell: (printer: PrinterRow) => (
    <>
      <a href={`/printers/${printer.id}`}>{printer.name}</a>
      {printer.state === 'retired' && <small> retired</small>}
    </>
  ),
}

const owner = { label: 'Whose', cell: (printer: PrinterRow) => printer.owner.name }

const columns = [
  {
    label: 'Last upkeep',
    cell: (printer: PrinterRow) =>
      printer.lastUpkeepOn === null ? 'none noted' : <DateWords on={printer.lastUpkeepOn} as="distance" />,
  },
  { label: 'Wants a look', cell: (printer: PrinterRow) => <WantsLook {...printer} /> },
  {
    label: 'Copies it brings through now',
    wide: true,
    cell: (printer: PrinterRow) => <MachineSuccess success={printer.success} />,
  },
]

/** Whether a printer wants a look, in a few words: its own page says the rest. */
function WantsLook({ state, look: { due, because, worn, wornSince } }: PrinterRow) {
  if (state === 'retired') return null
  if (!due) return <span class="quiet">no</span>
  return (
    <>
      <strong class="wants-look">yes</strong>: {reasons[because]}
      {because === 'probably worn' && ` (${ofHundred(worn)})`}
      {wornSince && (
        <>
          , most likely since <DateWords on={wornSince.printedOn} />
        </>
      )}
    </>
  )
}

const reasons: Record<string, string> = {
  'probably worn': 'film or level may be worn',
  'worse than in order': 'fewer copies come through than on a machine in good order',
  'usual life of a film': 'as many plates as a film usually does',
  'long idle': 'it stood still for long',
}
