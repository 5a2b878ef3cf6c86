import { Addable, Section } from '../parts/blocks.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { type MonthOfPrints, PrintsOverTime } from '../parts/prints-over-time.tsx'
import { type Line, type SetRow, type ShownRevision, type ShownSet, setColumns } from './FileSets.tsx'

/** What was reported of a support set in a month. */
export interface MonthOfSet {
  supportSetId: string
  /** `YYYY-MM-DD`, its first day. */
  month: string
  /** The day that its prints lie around. */
  around: string
  reports: number
  tried: number
  good: number
}

export interface PrintsProps {
  fileId: string
  /** Oldest first. */
  revisions: ShownRevision[]
  lines: Line[]
  /** Oldest first. */
  months: MonthOfSet[]
}

/** Whether it prints: every support set on one ruler, what came off with it, and how that went over time. */
export function FileRevisions(props: PrintsProps) {
  const { fileId, revisions, months } = props
  const rows = rowsOf(props)
  return (
    <Section heading="Does it print?" id="revisions">
      {rows.length > 0 && (
        <div class="file-prints">
          <DataTable
            caption="Support sets, the newest revision first"
            captionHidden
            rows={rows}
            rowKey={({ revision, set, line }) => set?.id ?? revision?.id ?? line?.kind ?? ''}
            columns={setColumns}
          />
        </div>
      )}
      {months.length > 0 && (
        <p class="quiet">
          Dot between ticks: what to expect on a printer in good order. Diamond: what came off so far. An older
          revision’s copies with the same kind of support count for the file as well, but less; so do one member’s after
          the tenth.
        </p>
      )}
      <PrintsOverTime
        months={monthsOf(props)}
        releases={revisions.flatMap(({ label, releasedOn }) => (releasedOn ? [{ label, on: releasedOn }] : []))}
      />
      <Addable
        isEmpty={revisions.length === 0}
        none="No revision is known yet. Reports belong to one, and to its supports."
        add={[`/files/${fileId}/revisions/new`, 'Add a revision']}
      />
    </Section>
  )
}

/** Every support set, the newest revision first; a revision without any has a line all the same, as has a file without both. */
export function rowsOf({ revisions, lines, months }: Pick<PrintsProps, 'revisions' | 'lines' | 'months'>): SetRow[] {
  const known = revisions.toReversed().flatMap((revision) => {
    const sets: (ShownSet | null)[] = revision.supportSets.length > 0 ? revision.supportSets : [null]
    return sets.map((set, index) => ({
      revision,
      set,
      line: (set && lines.find(({ supportSetId }) => supportSetId === set.id)) ?? null,
      printed: set && printedOf(months.filter(({ supportSetId }) => supportSetId === set.id)),
      isFirst: index === 0,
      isLast: index === sets.length - 1,
    }))
  })
  const guesses = lines
    .filter(({ supportSetId }) => supportSetId === null)
    .map((line) => ({ revision: null, set: null, line, printed: null, isFirst: true, isLast: true }))
  return [...guesses, ...known]
}

function printedOf(months: MonthOfSet[]): SetRow['printed'] {
  if (months.length === 0) return null
  const sum = (field: 'reports' | 'tried' | 'good') => months.reduce((total, month) => total + month[field], 0)
  return { reports: sum('reports'), tried: sum('tried'), good: sum('good') }
}

/** The months of all sets, those of one revision together. */
function monthsOf({ revisions, months }: Pick<PrintsProps, 'revisions' | 'months'>): MonthOfPrints[] {
  const newest = revisions.at(-1)
  const found = new Map<string, MonthOfPrints>()
  for (const { supportSetId, month, around, tried, good } of months) {
    const revision = revisions.find(({ supportSets }) => supportSets.some(({ id }) => id === supportSetId))
    if (!revision) continue
    const key = `${month} ${revision.id}`
    const before = found.get(key)
    const sums = { tried: tried + (before?.tried ?? 0), good: good + (before?.good ?? 0) }
    found.set(key, {
      month,
      around: before?.around ?? around,
      revision: revision.label,
      isNewest: revision === newest,
      ...sums,
    })
  }
  return [...found.values()]
}
