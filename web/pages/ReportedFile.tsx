import { ButtonLink, EmptyState, Section } from '../parts/blocks.tsx'
import { ButtonForm, LookUp, type SentForm } from '../parts/button-form.tsx'
import { byName, RadioGroup } from '../parts/choice-field.tsx'
import { Shadow, scaleFor } from '../parts/shadow.tsx'
import { PrinterWarning, type WetPlate, WetPlates } from './AtThePrinter.tsx'
import { type FileRow, figureOf } from './Files.tsx'

export interface OfferedFile extends Pick<FileRow, 'id' | 'title' | Drawn> {
  /** Left out where the sculptor asked not to be named. */
  sculptor: string | null
  /** Why it is offered: "you printed it lately". */
  why?: string
}

type Drawn = 'shadow' | 'heightMm' | 'base' | 'scaleMm'

const room = { heightPx: 52, widthPx: 60 }

/** Pixels a millimetre at which a figure is as large as it can be beside its name, to be told from the others. */
export const choiceScale = (file: Pick<FileRow, Drawn>): number => scaleFor([figureOf(file)], room)

interface Props {
  q: string
  found: OfferedFile[]
  likely: OfferedFile[]
  /** The reader's printers that want a look before the next plate. */
  warned: { id: string; name: string; look: { words: string } }[]
  wet: WetProps
}

interface WetProps extends SentForm {
  printers: { id: string; name: string }[]
  /** Those of the reader's that are still to be reported in full. */
  plates: WetPlate[]
}

/** The first tap of a report: which file was on the plate. */
export function ReportedFile({ q, found, likely, warned, wet }: Props) {
  const nothing = likely.length === 0
  return (
    <>
      <div data-waiting />
      {wet.plates.length > 0 && <WetPlates plates={wet.plates} />}
      {wet.printers.length > 0 && (
        <p>
          <ButtonLink href="#wet">Failed, and still wet?</ButtonLink>
        </p>
      )}
      {warned.length > 0 && <PrinterWarning printers={warned} />}
      <div class="at-the-printer">
        <div class="stack">
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
          {!q && likely.length > 0 && (
            <Section heading="Yours, the latest first">
              <FileChoices label="Your files" files={likely} />
            </Section>
          )}
        </div>
        <div class="stack">
          <Section heading={nothing || q ? 'Look a file up' : 'Another file'}>
            <LookUp
              action="/reports/new"
              words="Title of the file or its sculptor; near enough will do"
              q={q}
              main={nothing}
            />
          </Section>
          {wet.printers.length > 0 && <Wet {...wet} />}
        </div>
      </div>
    </>
  )
}

/** Two taps with gloves on; nobody types while resin drips. */
function Wet({ form, hidden, printers }: WetProps) {
  return (
    <Section heading="Failed, and still wet?">
      <ButtonForm
        form={form}
        action="/plates/wet"
        id="wet"
        hidden={hidden}
        keeps="Nothing usable"
        button="Nothing usable"
      >
        <RadioGroup big name="printerId" label="Nothing on the plate is usable, on" options={byName(printers)} />
      </ButtonForm>
      <p class="quiet">Report it in full later, when your hands are clean: it waits here and on your first page.</p>
    </Section>
  )
}

/** Each with its shadow and a ruled centimetre, not at one scale: beside a giant, foot models would be specks. */
function FileChoices({ label, files }: { label: string; files: OfferedFile[] }) {
  return (
    <nav class="choices choices-big" aria-label={label}>
      {files.map((file) => (
        <a key={file.id} class="choice" href={`/reports/new?fileId=${file.id}`}>
          <span class="choice-drawing">
            <Shadow figure={figureOf(file)} pxPerMm={choiceScale(file)} ruler />
          </span>
          <span class="choice-words">
            {file.title}
            <small>{[file.sculptor && `by ${file.sculptor}`, file.why].filter(Boolean).join(', ')}</small>
          </span>
        </a>
      ))}
    </nav>
  )
}
