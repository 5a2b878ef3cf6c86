import { Press } from '../parts/button-form.tsx'

/** An entry of a roster of the reader's that a print counts for, or may. */
export interface PlateCount {
  printId: string
  entryId: string
  roster: { id: string; name: string }
  name: string
  models: number
  isCounted: boolean
}

interface Props {
  plate: { prints: { id: string; file: { title: string } }[] }
  counts: PlateCount[]
  hidden: Record<string, string>
}

/** So that a roster knows what is printed: what this plate counts for, and a press for what it may. */
export function PlateCounts({ plate, counts, hidden }: Props) {
  if (counts.length === 0) return null
  const titles = new Map(plate.prints.map(({ id, file }) => [id, file.title]))
  const isAlone = plate.prints.length === 1
  const said = ({ printId }: PlateCount, words: string) =>
    isAlone ? words : `${titles.get(printId)}: ${words.toLowerCase()}`
  return (
    <div class="plate-counts">
      {counts
        .toSorted((one, other) => Number(other.isCounted) - Number(one.isCounted))
        .map((count, index) =>
          count.isCounted ? (
            <p key={count.printId}>
              {said(count, 'Counted for')} {entryWords(count)} of{' '}
              <a href={`/rosters/${count.roster.id}`}>{count.roster.name}</a>.
            </p>
          ) : (
            <Press
              key={`${count.printId} ${count.entryId}`}
              id={`count-${count.printId}-${count.entryId}`}
              action={`/rosters/${count.roster.id}/prints`}
              hidden={{ once: `${hidden.once}-${index}`, entryId: count.entryId, reportId: count.printId }}
              button={`${said(count, 'Count it for')} ${entryWords(count)} of ${count.roster.name}`}
            />
          ),
        )}
    </div>
  )
}

const entryWords = ({ models, name }: PlateCount) => `${models} × ${name}`
