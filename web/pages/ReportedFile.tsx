import { Button, ButtonLink } from '../parts/button.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { TextField } from '../parts/field.tsx'
import { Form } from '../parts/form.tsx'
import { Section } from '../parts/section.tsx'
import { PrinterWarning } from './PrinterWarning.tsx'

export interface OfferedFile {
  id: string
  title: string
  /** Left out where the sculptor asked not to be named. */
  sculptor: string | null
  /** Why it is offered: "you printed it lately". */
  why?: string
}

interface Props {
  q: string
  found: OfferedFile[]
  /** Of the request that one came from. */
  ofRequest: OfferedFile[]
  likely: OfferedFile[]
  /** The reader's printers that want a look before the next plate. */
  warned: { id: string; name: string; look: { words: string } }[]
}

/** The first tap of a report: which file was on the plate. */
export function ReportedFile({ q, found, ofRequest, likely, warned }: Props) {
  const nothing = ofRequest.length === 0 && likely.length === 0
  return (
    <>
      {warned.length > 0 && <PrinterWarning printers={warned} />}
      {q && (
        <Section heading={`Looked up: ${q}`}>
          {found.length === 0 ? (
            <EmptyState words={`No file is called anything like “${q}”.`}>
              <ButtonLink href="/files/new">Add the file</ButtonLink>
            </EmptyState>
          ) : (
            <FileChoices label="Files found" files={found} />
          )}
        </Section>
      )}
      {!q && ofRequest.length > 0 && (
        <Section heading="For this request">
          <FileChoices label="Files of the request" files={ofRequest} />
        </Section>
      )}
      {!q && likely.length > 0 && (
        <Section heading="Yours">
          <FileChoices label="Your files" files={likely} />
        </Section>
      )}
      <Section heading={nothing || q ? 'Look a file up' : 'Another file'}>
        <Form action="/reports/new" method="get" class="search" values={{ q }}>
          <TextField type="search" name="q" label="Title of the file, its sculptor, or nearly so" autoComplete="off" />
          <Button main={nothing}>Look up</Button>
        </Form>
      </Section>
    </>
  )
}

function FileChoices({ label, files }: { label: string; files: OfferedFile[] }) {
  return (
    <nav class="choices choices-big" aria-label={label}>
      {files.map(({ id, title, sculptor, why }) => (
        <a key={id} class="choice" href={`/reports/new?fileId=${id}`}>
          <span class="choice-words">
            {title}
            <small>{[sculptor && `by ${sculptor}`, why].filter(Boolean).join(', ')}</small>
          </span>
        </a>
      ))}
    </nav>
  )
}
