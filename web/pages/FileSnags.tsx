import { Fragment } from 'preact'
import { Addable, ButtonLink, ChangeLink, EmptyState, Section } from '../parts/blocks.tsx'
import { EditForm, type RoutedForm } from '../parts/button-form.tsx'
import { RadioGroup, SelectField } from '../parts/choice-field.tsx'
import { NumberField, TextArea, TextField } from '../parts/field.tsx'
import { severityWords, stateWords } from '../parts/snag-words.ts'
import { FileBeside, type FileToAddTo } from './FileHead.tsx'
import type { ShownRevision } from './FileSets.tsx'

export interface ShownSnag {
  id: string
  revisionId: string
  kind: string
  severity: 'stops the print' | 'costs time' | 'only looks'
  part: string
  minutes: number | null
  detail: string
  state: 'open' | 'the sculptor knows' | 'mended'
  mendedInRevisionId: string | null
  createdBy: { name: string }
  mayChange: boolean
}

interface Props {
  fileId: string
  snags: ShownSnag[]
  revisions: ShownRevision[]
}

/** What is wrong with a file, what to do about it, and in which revision it was mended. */
export function FileSnags({ fileId, snags, revisions }: Props) {
  const labels = new Map(revisions.map(({ id, label }) => [id, label]))
  return (
    <Section heading="Snags" id="snags">
      <Addable
        isEmpty={snags.length === 0}
        none="No snag is known. If you hit one, note it for the next member."
        add={[`/files/${fileId}/snags/new`, 'Note a snag']}
      >
        <ul class="snags">
          {snags.map((snag) => (
            <li key={snag.id} class={snag.state === 'mended' ? 'snag snag-mended' : 'snag snag-open'}>
              <Snag snag={snag} labels={labels} />
            </li>
          ))}
        </ul>
      </Addable>
    </Section>
  )
}

function Snag({ snag, labels }: { snag: ShownSnag; labels: Map<string, string> }) {
  const mendedIn = labels.get(snag.mendedInRevisionId ?? '')
  return (
    <>
      <p>
        <strong>
          {severityWords(snag)}:{' '}
          <ChangeLink href={snag.mayChange && `/snags/${snag.id}/edit`} what="the snag">
            {snag.part ? `${snag.kind}, ${snag.part}` : snag.kind}
          </ChangeLink>
        </strong>
      </p>
      {snag.detail && <Words text={snag.detail} />}
      <p class="quiet">
        Found in revision {labels.get(snag.revisionId)} by {snag.createdBy.name}; {stateWords({ ...snag, mendedIn })}.
      </p>
    </>
  )
}

/** Text of several lines, as it was typed. */
export function Words({ text }: { text: string }) {
  return (
    <p>
      {text.split('\n').map((line, index) => (
        <Fragment key={index}>
          {index > 0 && <br />}
          {line}
        </Fragment>
      ))}
    </p>
  )
}

interface EditProps extends RoutedForm {
  file: FileToAddTo & { snags: Omit<ShownSnag, 'mayChange'>[] }
  /** What can be wrong with a file. */
  kinds: readonly string[]
  /** Of a new snag: where it can be. Of a known one: where it can be mended. */
  revisions: { id: string; label: string }[]
  /** The snag that is changed; else it is a new one. */
  changes?: string
}

const severities = [
  { value: 'stops the print', label: 'stops the print', note: 'it can’t be printed or fielded like this' },
  { value: 'costs time', label: 'costs time', note: 'it can be mended on each print' },
  { value: 'only looks', label: 'only looks', note: 'it prints, and shows' },
]

const states = ['open', 'the sculptor knows', { value: 'mended', label: 'mended in a later revision' }]

/** Writes a snag down, or says what became of it. */
export function EditSnag({ file, kinds, revisions, changes, ...form }: EditProps) {
  const isNew = changes === undefined
  if (isNew && revisions.length === 0) {
    return (
      <EmptyState words="A snag belongs to a revision, and none is known yet.">
        <ButtonLink href={`/files/${file.id}/revisions/new`}>Add a revision first</ButtonLink>
      </EmptyState>
    )
  }
  const known = file.snags.filter(({ id }) => id !== changes)
  const options = revisions.map(({ id, label }) => ({ value: id, label }))
  return (
    <EditForm
      {...form}
      button="Keep this snag"
      back={[`/files/${file.id}#snags`, `Back to ${file.title}`]}
      aside={
        <FileBeside
          file={file}
          none={isNew ? 'No snag of it is known yet.' : 'No other snag of it is known.'}
          known={known.map((snag) => (
            <>
              {[snag.kind, snag.part].filter(Boolean).join(', ')}{' '}
              <small>
                {severityWords(snag).toLowerCase()}; {stateWords(snag)}
              </small>
            </>
          ))}
        />
      }
    >
      {isNew && <SelectField name="revisionId" label="In which revision" options={options} />}
      <SelectField name="kind" label="What is wrong" options={kinds} />
      <TextField optional name="part" label="Which part" hint="For instance: left arm." />
      <RadioGroup name="severity" label="How bad it is" options={severities} />
      <NumberField
        whole
        optional="needed if it costs time, otherwise leave it empty"
        name="minutes"
        label="Minutes it costs each print"
        unit="minutes"
      />
      <TextArea optional name="detail" label="What happens, and what to do about it" />
      {!isNew && (
        <>
          <RadioGroup name="state" label="What became of it" options={states} />
          <SelectField
            optional
            empty="not mended"
            name="mendedInRevisionId"
            label="Mended in revision"
            hint="A later one than the one it was found in."
            options={options}
          />
        </>
      )}
    </EditForm>
  )
}
