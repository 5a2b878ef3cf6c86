import type { ComponentProps } from 'preact'
import { EditForm, type RoutedForm } from '../parts/button-form.tsx'
import { CheckboxGroup, SelectField } from '../parts/choice-field.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { DateField, TextArea, TextField } from '../parts/field.tsx'
import { FileBeside, type FileToAddTo } from './FileHead.tsx'

interface Props extends RoutedForm {
  file: FileToAddTo & {
    revisions: { id: string; label: string; releasedOn: string | null; supportSets: { kind: string }[] }[]
  }
}

export const supportNotes: Record<string, string> = {
  'as supplied': 'as they come with the file',
  'extra supports': 'supplied ones, and some of your own added',
  'own supports': 'all of your own',
}

const supportOptions = Object.entries(supportNotes).map(([value, note]) => ({ value, label: value, note }))

/** Which kinds of support there are; a report names one of them. */
export function SupportKinds({ name }: { name: string }) {
  return (
    <CheckboxGroup
      optional
      name={name}
      label="Supports"
      hint="Tick what it comes with, and what you print it with."
      options={supportOptions}
    />
  )
}

/** Adds a dated state of a file, or corrects one. */
export function EditRevision({ file, isNew, ...form }: Props & { isNew: boolean }) {
  return (
    <EditForm {...form} button="Keep this revision" {...besideOf(file)}>
      <TextField name="label" label="Label" hint="As the sculptor calls it, or your own word." />
      <DateField optional name="releasedOn" label="Released on" />
      {isNew && <SupportKinds name="supportKinds" />}
      <TextField
        optional
        name="sha256"
        label="SHA-256 of the download"
        hint="64 digits, 0 to f. It tells revisions of the same name apart."
      />
    </EditForm>
  )
}

/** Says how a revision is supported. */
export function EditSupportSet({ file, ...form }: Props) {
  return (
    <EditForm {...form} button="Keep these supports" {...besideOf(file)}>
      <SelectField
        name="kind"
        label="Supports"
        options={supportOptions.map(({ value, note }) => ({ value, label: `${value}: ${note}` }))}
      />
      <TextArea
        optional
        rows={2}
        name="claim"
        label="What the sculptor says of them"
        hint="For instance: tested at 0.05 mm."
      />
    </EditForm>
  )
}

/** The way back to the file, and beside the form its revisions: the newest first, with the supports that each has. */
const besideOf = (file: Props['file']): Pick<ComponentProps<typeof EditForm>, 'back' | 'aside'> => ({
  back: [`/files/${file.id}`, `Back to ${file.title}`],
  aside: (
    <FileBeside
      file={file}
      none="No revision of it is known yet."
      known={file.revisions.toReversed().map(({ label, releasedOn, supportSets }) => (
        <>
          {label}
          {releasedOn && (
            <>
              , <DateWords on={releasedOn} />
            </>
          )}{' '}
          <small>{supportSets.map(({ kind }) => kind).join(', ') || 'no supports noted yet'}</small>
        </>
      ))}
    />
  ),
})
