import type { ComponentChildren } from 'preact'
import { type Drawn, FileDrawing } from './FileHead.tsx'

/** A file that something is added to: its shadow where there is room beside the form, and what is known already. */
export interface FileToAddTo extends Drawn {
  id: string
}

interface Props {
  file: Drawn
  /** What is known already, one a line; `none` is said where that is nothing. */
  known: ComponentChildren[]
  none: string
}

/** What stands beside a form about a file. */
export function FileBeside({ file, known, none }: Props) {
  return (
    <>
      <div class="side-figure">
        <FileDrawing file={{ ...file, face: null }} />
      </div>
      {known.length === 0 ? (
        <p class="quiet">{none}</p>
      ) : (
        <>
          <h2 class="side-heading">Known already</h2>
          <ul class="side-lines">
            {known.map((line, index) => (
              <li key={index}>{line}</li>
            ))}
          </ul>
        </>
      )}
    </>
  )
}
