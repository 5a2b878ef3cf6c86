import { Actions, Button } from '../parts/button.tsx'
import { CheckboxGroup, SelectField } from '../parts/choice-field.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { DateField, TextArea, TextField } from '../parts/field.tsx'
import { Form, type FormState } from '../parts/form.tsx'
import { FileBeside, type FileToAddTo } from './FileBeside.tsx'

interface Props {
  file: FileToAddTo & {
    revisions: { id: string; label: string; releasedOn: string | null; supportSets: { kind: string }[] }[]
  }
  form: FormState
  action: string
  hidden: Record<string, string>
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
export function EditRevision({ file, form, action, hidden, isNew }: Props & { isNew: boolean }) {
  return (
    <Form class="form form-beside" action={action} hidden={hidden} {...form}>
      <ErrorSummary />
      <TextField name="label" label="Label" hint="As the sculptor calls it, or your own word." />
      <DateField optional name="releasedOn" label="Released on" />
      {isNew && <SupportKinds name="supportKinds" />}
      <TextField
        optional
        name="sha256"
        label="SHA-256 of the download"
        hint="64 digits, 0 to f. It tells revisions of the same name apart."
      />
      <Actions>
        <Button main>Keep this revision</Button>
        <a href={`/files/${file.id}`}>Back to {file.title}</a>
      </Actions>
      <Revisions file={file} />
    </Form>
  )
}

/** Says how a revision is supported. */
export function EditSupportSet({ file, form, action, hidden }: Props) {
  return (
    <Form class="form form-beside" action={action} hidden={hidden} {...form}>
      <ErrorSummary />
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
      <Actions>
        <Button main>Keep these supports</Button>
        <a href={`/files/${file.id}`}>Back to {file.title}</a>
      </Actions>
      <Revisions file={file} />
    </Form>
  )
}

/** The newest first, with the supports that each has. */
function Revisions({ file }: Pick<Props, 'file'>) {
  return (
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
  )
}
