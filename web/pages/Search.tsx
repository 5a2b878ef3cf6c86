import { ButtonLink, EmptyState, Section } from '../parts/blocks.tsx'
import { LookUp } from '../parts/button-form.tsx'
import { counted } from '../parts/numbers.ts'
import { type FileRow, FileRows } from './FileRows.tsx'
import { lookAnythingUp } from './Home.tsx'
import { type UnitRow, UnitRows } from './Units.tsx'

interface Props {
  q: string
  units: UnitRow[]
  /** Whom the reader may know of. */
  sculptors: { id: string; name: string; files: number }[]
  files: FileRow[]
  /** The one scale that the files' figures are drawn to. */
  pxPerMm: number
}

/** What comes near the words: units by name and alias, files by title and sculptor. */
export function Search({ q, units, sculptors, files, pxPerMm }: Props) {
  return (
    <>
      <LookUp {...lookAnythingUp} q={q} />
      {q !== '' && units.length + sculptors.length + files.length === 0 && (
        <EmptyState words={`Nothing is called anything like “${q}”.`}>
          <div class="actions">
            <ButtonLink href={`/requests/new`}>Ask the group for a stand-in</ButtonLink>
            <a href={`/units/new?name=${encodeURIComponent(q)}`}>Add it as a unit</a>
            <a href="/files/new">Add a file</a>
          </div>
        </EmptyState>
      )}
      {units.length > 0 && (
        <Section heading="Units">
          <UnitRows units={units} />
        </Section>
      )}
      {sculptors.length > 0 && (
        <Section heading="Sculptors">
          <ul>
            {sculptors.map(({ id, name, files: known }) => (
              <li key={id}>
                <a href={`/files?q=${encodeURIComponent(name)}`}>{name}</a>, {counted(known, 'file')}
              </li>
            ))}
          </ul>
        </Section>
      )}
      {files.length > 0 && (
        <Section heading="Files">
          <FileRows files={files} pxPerMm={pxPerMm} />
        </Section>
      )}
    </>
  )
}
