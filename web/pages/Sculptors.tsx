import { ChangeLink, EmptyState, Pager } from '../parts/blocks.tsx'
import { EditForm, LookUp, type RoutedForm } from '../parts/button-form.tsx'
import { RadioGroup } from '../parts/choice-field.tsx'
import { TextField } from '../parts/field.tsx'
import { counted } from '../parts/numbers.ts'
import { AddedByMistake, type Mistake } from './Merge.tsx'

interface SculptorRow {
  id: string
  name: string
  credit: 'named' | 'unnamed'
  files: number
  /** Who typed this name of one who asked not to be named, and has a sculptor of their own for it. */
  typedBy: { name: string } | null
}

interface Props {
  sculptors: SculptorRow[]
  next: string | null
  q: string
  /** Stewards see those who asked not to be named as well, and can change the wish. */
  isSteward: boolean
}

/** Whose files the group knows, as far as they may be named. */
export function Sculptors({ sculptors, next, q, isSteward }: Props) {
  return (
    <>
      <LookUp action="/sculptors" label="Look a sculptor up" words="Name; near enough will do" q={q} />
      {sculptors.length === 0 ? (
        <EmptyState words={q ? `No sculptor is called anything like “${q}”.` : 'No sculptors yet.'}>
          <a href="/files">See the files</a>
        </EmptyState>
      ) : (
        <ul class="offer-rows">
          {sculptors.map((row) => (
            <li key={row.id}>
              <div>
                <a class="offer-name" href={`/files?sculptorId=${row.id}`}>
                  {row.name}
                </a>
                {isSteward && (
                  <p class="quiet">
                    {/* The wish is the link to change it. */}
                    <ChangeLink href={`/sculptors/${row.id}/edit`} what={row.name}>
                      {row.credit === 'named' ? 'named' : 'asked not to be named'}
                    </ChangeLink>
                    {row.typedBy && `, as ${row.typedBy.name} typed it`}
                  </p>
                )}
              </div>
              <p>{counted(row.files, 'file')}</p>
            </li>
          ))}
        </ul>
      )}
      <Pager href={next} />
    </>
  )
}

interface EditProps extends RoutedForm {
  mistake: Mistake
  /** How many are theirs, and where they are listed. */
  files: { count: number; href: string }
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
          <p>
            The wish holds for <a href={files.href}>{counted(files.count, 'file')} of theirs</a>.
          </p>
        }
      >
        <TextField name="name" label="Name" />
        <RadioGroup name="credit" label="Their wish" options={wishes} />
      </EditForm>
      <AddedByMistake kind="sculptor" {...mistake} />
    </>
  )
}
