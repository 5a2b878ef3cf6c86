import { AsTable } from '../parts/as-table.tsx'
import { type Base, baseWords } from '../parts/base-size.tsx'
import { Button, ButtonLink } from '../parts/button.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { TextField } from '../parts/field.tsx'
import { Form } from '../parts/form.tsx'
import type { FigureShadow } from '../parts/outline.ts'
import { Pager } from '../parts/pager.tsx'

export interface FileRow {
  id: string
  title: string
  /** No name where the sculptor asked for none, and the reader is no steward. */
  sculptor: { name: string | null }
  units: { id: string; name: string }[]
  scaleMm: number | null
  base: Base | null
  resinMl: number | null
  options: string[]
  /** Null while nobody has measured it. */
  shadow: FigureShadow | null
}

interface Props {
  files: FileRow[]
  /** Address of the rest of the list. */
  next: string | null
  /** What was looked for; empty for the whole list. */
  q: string
  /** Whose files alone are listed. */
  sculptor: { id: string; name: string } | null
}

/** Every file that the group knows, to be looked up by title or sculptor. */
export function Files({ files, next, q, sculptor }: Props) {
  const add = `/files/new${q && `?title=${encodeURIComponent(q)}`}`
  return (
    <>
      <Form action="/files" method="get" class="search" label="Look a file up" values={{ q }}>
        <TextField optional type="search" name="q" label="Title or sculptor, or nearly so" />
        <Button>Look up</Button>
      </Form>
      {sculptor && (
        <p>
          Files by {sculptor.name}. <a href="/files">Show all files</a>
        </p>
      )}
      {files.length === 0 ? (
        <EmptyState words={q ? `No file is called anything like “${q}”.` : 'No files yet.'}>
          <ButtonLink href={add}>Add a file</ButtonLink>
        </EmptyState>
      ) : (
        <>
          <DataTable caption="Files" captionHidden rows={files} rowKey={(file) => file.id} columns={columns} />
          <Pager href={next} />
          <AsTable list="files" />
          <p>
            Not there? <a href={add}>Add a file</a>. See also the <a href="/sculptors">sculptors</a>.
          </p>
        </>
      )}
    </>
  )
}

/** "by Tilda Vorn", or that the sculptor wants no name. */
export const sculptorWords = ({ name }: { name: string | null }) =>
  name === null ? 'The sculptor asked not to be named' : `by ${name}`

const columns = [
  {
    label: 'File',
    head: true,
    cell: (file: FileRow) => (
      <>
        <a href={`/files/${file.id}`}>{file.title}</a> <small>{sculptorWords(file.sculptor)}</small>
      </>
    ),
  },
  {
    label: 'Stands in for',
    cell: (file: FileRow) => (file.units.length > 0 ? <UnitLinks units={file.units} /> : 'no unit yet'),
  },
  { label: 'Facts', cell: (file: FileRow) => facts(file) },
  { label: 'Comes with', cell: (file: FileRow) => file.options.join(', ') || 'nothing noted' },
]

/** "28 mm, 25 mm round, 9.5 ml a copy", as far as it is known. */
function facts({ scaleMm, base, resinMl }: FileRow): string {
  const known = [scaleMm && `${scaleMm} mm`, base && baseWords(base), resinMl && `${resinMl} ml a copy`].filter(Boolean)
  return known.join(', ') || 'none noted'
}

export function UnitLinks({ units }: { units: { id: string; name: string }[] }) {
  return (
    <>
      {units.map(({ id, name }, index) => (
        <>
          {index > 0 && ', '}
          <a href={`/units/${id}`}>{name}</a>
        </>
      ))}
    </>
  )
}
