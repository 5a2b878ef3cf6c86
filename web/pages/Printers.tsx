import { AsTable, ButtonLink, EmptyState, Pager, Section } from '../parts/blocks.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { type FilmPlate, FilmStrip } from '../parts/film-chart.tsx'
import { ofHundred } from '../parts/numbers.ts'
import { MachinePlate } from '../parts/plate-drawing.tsx'
import { IntervalRuler, type PrintSuccess } from '../parts/success-interval.tsx'
import { LookWords, MachineSuccess, type WetPlate, WetPlates } from './AtThePrinter.tsx'

interface PrinterRow {
  id: string
  name: string
  owner: { id: string; name: string }
  state: 'in use' | 'retired'
  plateMm: readonly [width: number, depth: number]
  lastUpkeepOn: string | null
  success: PrintSuccess
  look: { due: boolean; because: string; words: string; worn: number; wornSince: { printedOn: string } | null }
}

interface Props {
  mine: (PrinterRow & { film: FilmPlate[] })[]
  others: PrinterRow[]
  /** Cursor of the rest of the others. */
  next: string | null
  /** The reader's failed plates that are still to be reported in full. */
  wet: WetPlate[]
}

/** Where one stands with gloves on: report a print, what the film is like, what is still to be told. */
export function Printers({ mine, others, next, wet }: Props) {
  return (
    <>
      <div class="at-the-printer">
        <div class="stack">
          <a class="button button-main report-a-print" href={mine.length === 0 ? '/printers/new' : '/reports/new'}>
            {mine.length === 0 ? 'Add a printer' : 'Report a print'}
          </a>
          <div data-waiting />
          {mine.length === 0 && (
            <EmptyState words="You have no printer here yet. Add yours, so that your reports can tell the file from the machine." />
          )}
          {wet.length > 0 && (
            <Section heading="Still to report">
              <WetPlates plates={wet} />
            </Section>
          )}
          <p>
            Your prints are priced by <a href="/resins">your resins</a>.
          </p>
        </div>
        {mine.length > 0 && <Mine printers={mine} />}
      </div>
      <Section heading="Everyone else’s printers">
        {others.length === 0 ? (
          <EmptyState words="Nobody else has added a printer yet." />
        ) : (
          <>
            <Others printers={others} />
            <Pager href={next && `/printers?after=${encodeURIComponent(next)}`} />
            <AsTable list="reports" words="All prints as a table (CSV)" />
          </>
        )}
      </Section>
    </>
  )
}

function Mine({ printers }: { printers: Props['mine'] }) {
  return (
    <Section heading={printers.length === 1 ? 'Your printer' : 'Your printers'}>
      <ul class="machines">
        {printers.map((printer) => (
          <li key={printer.id}>
            <h3>
              <a href={`/printers/${printer.id}`}>{printer.name}</a>
              {printer.state === 'retired' && <small> retired</small>}
            </h3>
            {printer.state === 'in use' && (
              <p class={printer.look.due ? 'hurdle' : 'quiet'}>
                <LookWords look={printer.look} />
              </p>
            )}
            {printer.state === 'in use' && printer.film.length > 0 && <FilmStrip plates={printer.film} />}
          </li>
        ))}
      </ul>
      <p>
        <ButtonLink href="/printers/new">Add another printer</ButtonLink>
      </p>
    </Section>
  )
}

/** Each by its plate, all at one scale, with how much comes through the machine on one ruler. */
function Others({ printers }: { printers: PrinterRow[] }) {
  return (
    <div class="machine-rows">
      <p class="machine-rows-head quiet">
        <IntervalRuler words="come through the machine" />
      </p>
      <ul class="rows rows-machines">
        {printers.map((printer) => (
          <li key={printer.id}>
            <span class="row-drawing">
              <MachinePlate small plateMm={printer.plateMm} />
            </span>
            <a class="row-name" href={`/printers/${printer.id}`}>
              {printer.name}
            </a>
            <span class="row-note">
              <Standing {...printer} />
              <WantsLook {...printer} />
            </span>
            <span class="row-sum">
              <MachineSuccess success={printer.success} />
            </span>
          </li>
        ))}
      </ul>
    </div>
  )
}

/** "Casimir’s, last upkeep 3 months ago." */
function Standing({ owner, state, lastUpkeepOn }: PrinterRow) {
  if (state === 'retired') return <>{owner.name}’s, retired.</>
  return (
    <>
      {owner.name}’s,{' '}
      {lastUpkeepOn === null ? (
        'no upkeep noted yet'
      ) : (
        <>
          last upkeep <DateWords on={lastUpkeepOn} as="distance" />
        </>
      )}
      .
    </>
  )
}

/** Whether a printer wants a look, in a few words: its own page says the rest. */
function WantsLook({ state, look: { due, because, worn, wornSince } }: PrinterRow) {
  if (state === 'retired' || !due) return null
  return (
    <small>
      <strong class="wants-look">Wants a look</strong>: {reasons[because]}
      {because === 'probably worn' && ` (${ofHundred(worn)})`}
      {wornSince && (
        <>
          , most likely since <DateWords on={wornSince.printedOn} />
        </>
      )}
      .
    </small>
  )
}

const reasons: Record<string, string> = {
  'probably worn': 'the film may be worn or the level off',
  'worse than in order': 'fewer copies come through than on a machine in good order',
  'usual life of a film': 'as many plates as a film usually lasts',
  'long idle': 'it has stood idle for a long time',
}
