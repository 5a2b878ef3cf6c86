import { Actions, Button, ButtonLink } from '../parts/button.tsx'
import { Caution } from '../parts/caution.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { FilmChart, type FilmPlate } from '../parts/film-chart.tsx'
import { type Errors, Form, type Values } from '../parts/form.tsx'
import { Columns, Facts, Section } from '../parts/section.tsx'
import { IntervalLine, type PrintSuccess, rangeWords } from '../parts/success-interval.tsx'
import { UpkeepChart } from '../parts/upkeep-chart.tsx'
import { UpkeepFields } from './EditUpkeep.tsx'
import { LookWords } from './PrinterWarning.tsx'
import { type ReportRow, ReportTable } from './ReportTable.tsx'
import { type WetPlate, WetPlates } from './WetPlates.tsx'

interface Upkeep {
  id: string
  kind: string
  on: string
  remark: string
}

interface Period {
  /** Null for the time before any upkeep was noted. */
  startsOn: string | null
  reports: number
  tried: number
  good: number
  success: PrintSuccess
}

interface Props {
  printer: {
    id: string
    owner: { id: string; name: string }
    plateMm: [number, number]
    buildHeightMm: number
    layerUm: number
    exposureS: number
    bottomLayers: number
    bottomExposureS: number
    cycleOverheadS: number
    state: 'in use' | 'retired'
    upkeep: Upkeep[]
    periods: Period[]
    film: FilmPlate[]
    look: { due: boolean; words: string; wornSince: { plateId: string; printedOn: string } | null }
  }
  reports: ReportRow[]
  moreReports: boolean
  /** The reader's failed plates on it that are still to be told in full. */
  wet: WetPlate[]
  isMine: boolean
  /** Left out where this reader may not note upkeep. */
  upkeepForm?: { form: { values: Values; errors: Errors }; hidden: Record<string, string> } | undefined
}

/** A printer: what was done to it, how it did in between, and whether it wants a look. */
export function Printer({ printer, reports, moreReports, wet, isMine, upkeepForm }: Props) {
  const charted = chartedPeriods(printer)
  return (
    <>
      <Section heading={printer.look.due ? 'It wants a look' : 'Does it want a look?'}>
        <p>
          <LookWords look={printer.look} />
        </p>
        {wet.length > 0 && <WetPlates plates={wet} />}
        {isMine && printer.state === 'in use' && (
          <Actions>
            <ButtonLink main href="/reports/new">
              Report a print
            </ButtonLink>
            {printer.look.due && <ButtonLink href="#upkeep">Note what you did to it</ButtonLink>}
          </Actions>
        )}
        {printer.film.length > 0 && (
          <FilmChart
            id="film-chart"
            plates={printer.film}
            wornSince={printer.look.wornSince?.plateId ?? null}
            upkeepSince={upkeepSince(printer)}
          />
        )}
      </Section>
      <Columns
        main={
          <>
            <Section heading="Success by upkeep">
              <p class="quiet">
                Of the copies that file and plate would have let through, so many this printer brings through, as it was
                at the end of each period.
              </p>
              {charted.some(({ success }) => success.copies > 0) && (
                <UpkeepChart id="upkeep-chart" periods={charted} of={printer.periods.length} />
              )}
              <DataTable
                caption="Success of the machine by upkeep period"
                captionHidden
                rows={printer.periods}
                rowKey={(period) => period.startsOn ?? 'before'}
                columns={periodColumns(printer.upkeep)}
              />
            </Section>
            <Section heading="Upkeep" id="upkeep">
              <UpkeepLog upkeep={printer.upkeep} mayChange={upkeepForm !== undefined} />
              {upkeepForm && <UpkeepForm id={printer.id} {...upkeepForm} />}
            </Section>
          </>
        }
        aside={
          <Section heading="How it is set">
            <Facts facts={factsOf(printer)} />
            {upkeepForm && <a href={`/printers/${printer.id}/edit`}>Change this printer</a>}
          </Section>
        }
      />
      <Section heading="Latest prints" id="reports">
        {reports.length === 0 ? (
          <EmptyState words="No print on it was reported yet." />
        ) : (
          <ReportTable reports={reports} caption={moreReports ? `The latest ${reports.length}` : 'All of them'} />
        )}
      </Section>
      {/* The form above has one of its own. */}
      {!upkeepForm && <Caution />}
    </>
  )
}

/** More would not fit on a phone; the table has them all. */
const mostCharted = 8

/** The newest periods, oldest first. */
const chartedPeriods = ({ periods, upkeep }: Props['printer']) =>
  periods
    .slice(0, mostCharted)
    .toReversed()
    .map(({ startsOn, success }) => ({ startsOn, success, kinds: doneOn(upkeep, startsOn) }))

/** What was done since the latest plate, if anything. */
function upkeepSince({ periods: [present], upkeep }: Props['printer']): string[] {
  return present && present.startsOn !== null && present.reports === 0 ? doneOn(upkeep, present.startsOn) : []
}

const doneOn = (upkeep: Upkeep[], day: string | null) => upkeep.filter(({ on }) => on === day).map(({ kind }) => kind)

const factsOf = (printer: Props['printer']): [string, string][] => [
  ['Whose', printer.owner.name],
  ['State', printer.state],
  ['Plate', `${printer.plateMm[0]} × ${printer.plateMm[1]} mm`],
  ['Build height', `${printer.buildHeightMm} mm`],
  ['Layer', `${printer.layerUm} µm`],
  ['Exposure', `${printer.exposureS} s`],
  ['Bottom layers', `${printer.bottomLayers} of ${printer.bottomExposureS} s`],
  ['Lift and wait', `${printer.cycleOverheadS} s a layer`],
]

const periodColumns = (upkeep: Upkeep[]) => [
  {
    label: 'Since',
    head: true,
    cell: ({ startsOn }: Period) => (startsOn === null ? 'before any upkeep was noted' : <DateWords on={startsOn} />),
  },
  {
    label: 'What was done',
    cell: ({ startsOn }: Period) => doneOn(upkeep, startsOn).join(', ') || 'nothing noted',
  },
  {
    label: 'Came off it',
    cell: ({ reports, tried, good }: Period) =>
      reports === 0 ? 'nothing reported' : `${good} of ${tried} good, ${reports} ${reports === 1 ? 'plate' : 'plates'}`,
  },
  {
    label: 'The machine’s own success',
    wide: true,
    cell: ({ success }: Period) => <MachineSuccess success={success} />,
  },
]

export interface MachineSuccessProps {
  success: PrintSuccess
}

/** A machine's success: the interval as a line, and in words where there is evidence for any. */
export function MachineSuccess({ success }: MachineSuccessProps) {
  if (success.copies <= 0) return <span class="quiet">no prints to judge it by</span>
  return (
    <IntervalLine interval={success} isGuess={false}>
      the machine alone {rangeWords(success)}
    </IntervalLine>
  )
}

function UpkeepLog({ upkeep, mayChange }: { upkeep: Upkeep[]; mayChange: boolean }) {
  if (upkeep.length === 0)
    return (
      <EmptyState words="No upkeep is noted. Film, level and vat want a look every few months of regular printing." />
    )
  return (
    <ul class="upkeep-log">
      {upkeep.map(({ id, kind, on, remark }) => (
        <li key={id}>
          <strong>
            <DateWords on={on} as="both" />
          </strong>
          : {kind}{' '}
          {mayChange && (
            <a class="quiet" href={`/upkeep/${id}/edit`}>
              Change<span class="visually-hidden"> this upkeep: {kind}</span>
            </a>
          )}
          {remark && <p class="quiet">{remark}</p>}
        </li>
      ))}
    </ul>
  )
}

function UpkeepForm({ id, form, hidden }: { id: string } & NonNullable<Props['upkeepForm']>) {
  return (
    <Form action={`/printers/${id}/upkeep#upkeep`} id="upkeep-form" hidden={hidden} {...form}>
      <h3>Note upkeep</h3>
      <ErrorSummary />
      <UpkeepFields />
      <Caution />
      <Actions>
        <Button main>Note this upkeep</Button>
      </Actions>
    </Form>
  )
}
