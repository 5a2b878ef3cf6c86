import { ChangeLink, EmptyState, Pager } from '../parts/blocks.tsx'
import { EditForm, LookUp, type RoutedForm } from '../parts/button-form.tsx'
import { RadioGroup } from '../parts/choice-field.tsx'
import { TextField } from '../parts/field.tsx'
import { counted } from '../parts/numbers.ts'
import { scaleFor } from '../parts/shadow.tsx'
import { FigureRow, type FileRow, figureOf } from './Files.tsx'
import { AddedByMistake, type Mistake } from './Merge.tsx'

interface SculptorRow {
  id: string
  name: string
  credit: 'named' | 'unnamed'
  files: number
  /** Those of their files that are drawn. */
  newest: FileRow[]
  /** Who typed this name of one who asked not to be named, and has a sculptor of their own for it. */
  typedBy: { name: string } | null
}

interface Props {
  sculptors: SculptorRow[]
  /** The one scale that their figures are drawn to. */
  pxPerMm: number
  next: string | null
  q: string
  /** Stewards see those who asked not to be named as well, and can change the wish. */
  isSteward: boolean
}

/** Whose files the group knows, as far as they may be named. */
export function Sculptors({ sculptors, pxPerMm, next, q, isSteward }: Props) {
  return (
    <>
      <LookUp action="/sculptors" label="Look a sculptor up" words="Name; near enough will do" q={q} />
      {sculptors.length === 0 ? (
        <EmptyState words={q ? `No sculptor is called anything like “${q}”.` : 'No sculptors yet.'}>
          <a href="/files">See the files</a>
        </EmptyState>
      ) : (
        <ul class="sculptor-rows">
          {sculptors.map((row) => (
            <li key={row.id}>
              <p>
                <a class="row-name" href={`/files?sculptorId=${row.id}`}>
                  {row.name}
                </a>
                <small class="sculptor-note">
                  {counted(row.files, 'file')}
                  {isSteward && (
                    <>
                      ; {/* The wish is the link to change it. */}
                      <ChangeLink href={`/sculptors/${row.id}/edit`} what={row.name}>
                        {row.credit === 'named' ? 'named' : 'asked not to be named'}
                      </ChangeLink>
                      {row.typedBy && `, as ${row.typedBy.name} typed it`}
                    </>
                  )}
                </small>
              </p>
              <FigureRow files={row.newest} pxPerMm={pxPerMm} />
            </li>
          ))}
        </ul>
      )}
      <Pager href={next} />
    </>
  )
}

const besideRoom = { heightPx: 48, widthPx: 60 }

interface EditProps extends RoutedForm {
  mistake: Mistake
  /** Theirs, as far as they are drawn. */
  files: FileRow[]
}

const wishes = [
  {
    value: 'named',
    label: 'named',
    note: 'the name and the links are shown, and all files under this name come together',
  },
  { value: 'unnamed', label: 'unnamed', note: 'neither is shown to anybody but stewards' },
]

/** A sculptor's name and wish, for stewards. */
export function EditSculptor({ mistake, files, ...form }: EditProps) {
  return (
    <>
      <EditForm
        {...form}
        button="Keep"
        back={['/sculptors', 'Back to the sculptors']}
        aside={
          <>
            <h2 class="side-heading">What the wish is about</h2>
            {files.length === 0 ? (
              <p class="quiet">No file of theirs is known.</p>
            ) : (
              <ul class="side-rows">
                {files.map((file) => (
                  <li key={file.id}>
                    <span class="choice-drawing">
                      <FigureRow files={[file]} pxPerMm={scaleFor([figureOf(file)], besideRoom)} />
                    </span>
                    <a href={`/files/${file.id}`}>{file.title}</a>
                  </li>
                ))}
              </ul>
            )}
          </>
        }
      >
        <TextField name="name" label="Name" />
        <RadioGroup name="credit" label="Their wish" options={wishes} />
      </EditForm>
      <AddedByMistake kind="sculptor" {...mistake} />
    </>
  )
}
