import { AsTable, ButtonLink, EmptyState, Pager } from '../parts/blocks.tsx'
import { LookUp } from '../parts/button-form.tsx'
import { type FileRow, FileRows } from './FileRows.tsx'
import { FileWall } from './FileWall.tsx'

interface Props {
  files: FileRow[]
  /** The one scale that their figures are drawn to. */
  pxPerMm: number
  /** Address of the rest of the list. */
  next: string | null
  /** What was looked for; empty for the whole list. */
  q: string
  /** Whose files alone are listed. */
  sculptor: { name: string } | null
}

/** Every file that the group knows, to be looked up by title or sculptor; those of one sculptor stand on a shelf. */
export function Files({ files, pxPerMm, next, q, sculptor }: Props) {
  const add = `/files/new${q && `?title=${encodeURIComponent(q)}`}`
  return (
    <>
      <LookUp action="/files" label="Look a file up" words="Title or sculptor; near enough will do" q={q} />
      {sculptor && (
        <p>
          <a href="/files">Show all files</a>, or all <a href="/sculptors">sculptors</a>.
        </p>
      )}
      {files.length === 0 ? (
        <EmptyState words={q ? `No file is called anything like “${q}”.` : 'No files yet.'}>
          <ButtonLink href={add}>Add a file</ButtonLink>
        </EmptyState>
      ) : (
        <>
          {sculptor ? (
            <FileWall label={`Files by ${sculptor.name}`} files={files} pxPerMm={pxPerMm} by={false} />
          ) : (
            <FileRows files={files} pxPerMm={pxPerMm} />
          )}
          <Pager href={next} />
          <p>
            Not there? <a href={add}>Add a file</a>.
            {!sculptor && (
              <>
                {' '}
                See also the <a href="/sculptors">sculptors</a>.
              </>
            )}
          </p>
          <AsTable list="files" />
        </>
      )}
    </>
  )
}
