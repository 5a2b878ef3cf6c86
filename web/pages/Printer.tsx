import { Actions, ButtonLink, Caution, EmptyState, Section } from '../parts/blocks.tsx'
import type { SentForm } from '../parts/button-form.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { FilmChart, type FilmPlate } from '../parts/film-chart.tsx'
import { counted } from '../parts/numbers.ts'
import { IntervalRuler, type PrintSuccess } from '../parts/success-interval.tsx'
import { UpkeepChart } from '../parts/upkeep-chart.tsx'
import { LookWords, MachineSuccess, type WetPlate, WetPlates } from './AtThePrinter.tsx'
import { type ReportRow, ReportTable } from './ReportTable.tsx'
import { kindWords, type Upkeep, UpkeepSection } from './Upkeep.tsx'

interface Period {
  /** Null for the time before any upkeep was noted. */
  startsOn: string | null
  reports: number
  tried: number
  good: number
  success: PrintSuccess
}

interface Props {
  printer: Record<
    'buildHeightMm' | 'layerUm' | 'exposureS' | 'bottomLayers' | 'bottomExposureS' | 'cycleOverheadS',
    number
  > & {
    id: string
    owner: { id: string; name: string }
    plateMm: [number, number]
    state: 'in use' | 'retired'
    upkeep: Upkeep[]
    periods: Period[]
    film: FilmPlate[]
    look: { due: boolean; words: string; wornSince: { plateId: string; printedOn: string } | null }
  }
  reports: ReportRow[]
  moreReports: boolean
  /** The reader's failed plates on it that are still to be reported in full. */
  wet: WetPlate[]
  isMine: boolean
  /** Left out where this reader may not note upkeep. */
  upkeepForm?: SentForm | undefined
}

/** A printer: what was done to it, how it did in between, and whether it wants a look. */
export function Printer({ printer, reports, moreReports, wet, isMine, upkeepForm }: Props) {
  const charted = chartedPeriods(printer)
  return (
    <>
      <Section heading={printer.look.due ? 'It wants a look' : 'Does it want a look?'}>
        <p class={printer.look.due ? 'hurdle' : undefined}>
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
            plates={printer.film}
            wornSince={printer.look.wornSince?.plateId ?? null}
            upkeepSince={upkeepSince(printer)}
          />
        )}
      </Section>
      <UpkeepSection printer={printer} upkeepForm={upkeepForm} />
      <Section heading="Success by upkeep">
        <p class="quiet">
          How many of the copies that neither file nor plate spoils come out good on this printer, as it was at the end
          of each period.
        </p>
        {charted.some(({ success }) => success.copies > 0) && (
          <UpkeepChart periods={charted} of={printer.periods.length} />
        )}
        <DataTable
          caption="Success of the machine by upkeep period"
          captionHidden
          rows={printer.periods}
          rowKey={(period) => period.startsOn ?? 'before'}
          columns={periodColumns(printer.upkeep)}
        />
      </Section>
      <Section heading="Latest prints" id="reports">
        {reports.length === 0 ? (
          <EmptyState words="No print on it has been reported yet." />
        ) : (
          <ReportTable reports={reports} caption={moreReports ? `The latest ${reports.length}` : 'All of them'} />
        )}
      </Section>
      {/* The form above has one of its own. */}
      {!upkeepForm && <Caution />}
    </>
  )
}

/** Whose it is and how it is set, in a sentence, which is the way to change it. */
export function PrinterLead({
  printer,
  mayChange,
}: {
  printer: Omit<Props['printer'], 'film' | 'look' | 'periods' | 'upkeep'>
  mayChange: boolean
}) {
  const { id, owner, plateMm, buildHeightMm, layerUm, exposureS, bottomLayers, bottomExposureS, cycleOverheadS } =
    printer
  const settings = `${plateMm[0]} × ${plateMm[1]} mm, ${buildHeightMm} mm high; ${layerUm} µm layers of ${exposureS} s, the first ${bottomLayers} of ${bottomExposureS} s, ${cycleOverheadS} s between layers`
  return (
    <>
      {owner.name}’s{printer.state === 'retired' && ', retired'}:{' '}
      {mayChange ? <a href={`/printers/${id}/edit`}>{settings}</a> : settings}.
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

const doneOn = (upkeep: Upkeep[], day: string | null) =>
  upkeep.filter(({ on }) => on === day).map(({ kind }) => kindWords(kind))

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
      reports === 0 ? 'nothing reported' : `${good} of ${tried} good, ${counted(reports, 'plate')}`,
  },
  {
    label: 'The machine’s own success',
    heading: <IntervalRuler words="come through" />,
    wide: true,
    cell: ({ success }: Period) => <MachineSuccess success={success} />,
  },
]
