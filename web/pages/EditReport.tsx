import { Actions, Button, ButtonLink } from '../parts/button.tsx'
import { Caution } from '../parts/caution.tsx'
import { FieldGroup, type Option, RadioGroup } from '../parts/choice-field.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { DateField, HintAndError, NumberField, TextArea } from '../parts/field.tsx'
import { type Errors, Form, useField, type Values } from '../parts/form.tsx'
import { useReader } from '../parts/reader.tsx'

export interface SupportOption {
  value: string
  kind: 'as supplied' | 'extra supports' | 'own supports'
  /** Null for a kind that nobody has entered for the newest revision. */
  revision: string | null
  isNewest: boolean
}

interface Props {
  form: { values: Values; errors: Errors }
  action: string
  hidden: Record<string, string>
  file: { id: string; title: string }
  supports: SupportOption[]
  printers: { id: string; name: string }[]
  /** What can be seen on a failed copy, as the API calls it. */
  seen: string[]
  isNew: boolean
}

/** The second and third tap of a report: how many came out, and what was seen on the others. Also changes a report. */
export function EditReport({ form, action, hidden, file, supports, printers, seen, isNew }: Props) {
  if (printers.length === 0)
    return (
      <EmptyState words="You have no printer in use here. Add yours first: what it did before tells the file from the machine.">
        <ButtonLink main href={`/printers/new?reportOf=${file.id}`}>
          Add a printer
        </ButtonLink>
      </EmptyState>
    )
  return (
    <>
      {isNew && (
        <p>
          Not this file? <a href="/reports/new">Choose another</a>
        </p>
      )}
      <Form action={action} hidden={hidden} {...form}>
        <ErrorSummary />
        <FieldGroup legend="How many copies">
          <NumberField whole steps name="tried" label="On the plate" unit="copies" />
          <NumberField whole steps name="good" label="Came out good" unit="copies" />
        </FieldGroup>
        <SeenFields seen={seen} />
        <RadioGroup big name="crowding" label="How full was the plate" options={crowdings} />
        <Usual supports={supports} printers={printers} />
        <TextArea optional rows={2} name="remark" label="Remark" maxLength={1000} />
        <Actions>
          <Button main>{isNew ? 'Send the report' : 'Keep the change'}</Button>
        </Actions>
        <Caution />
      </Form>
    </>
  )
}

/** What is the same from plate to plate is filled in and folded away; open where something of it is missing or wrong. */
function Usual({ supports, printers }: Pick<Props, 'supports' | 'printers'>) {
  const { today } = useReader()
  const fields = [useField('supports'), useField('printerId'), useField('printedOn')]
  const [onSupports, onPrinter, onDay] = fields.map(({ value }) => value)
  const chosen = supports.find(({ value }) => value === onSupports)
  const printer = printers.find(({ id }) => id === onPrinter)
  const isUsual = chosen && printer && fields.every(({ error }) => error === undefined)
  return (
    <div>
      {isUsual && (
        <p>
          Unless you say otherwise: {supportWords[chosen.kind].toLowerCase()}, on {printer.name},{' '}
          {onDay && <DateWords on={onDay} as="both" />}.
        </p>
      )}
      <Disclosure summary="Other supports, printer or day" open={!isUsual}>
        <div class="form">
          <RadioGroup big name="supports" label="Which supports" options={supports.map(supportOption)} />
          <RadioGroup big name="printerId" label="On which printer" options={printers.map(printerOption)} />
          <DateField name="printedOn" label="On which day" max={today} />
        </div>
      </Disclosure>
    </div>
  )
}

/** How it shows itself, for who hasn't seen many. (Common practice, no source.) */
const seenHints: Record<string, string> = {
  'supports snapped': 'they broke off, or pulled the part down',
  'part had no support': 'it hung in the air and is missing or lies in the vat',
  'nothing stuck to the plate': 'the copy lies on the film, foot and all',
  'one side of the plate only': 'the copies on one side are there, on the other not',
  'stuck to the film': 'it came off in the middle and stayed on the film',
  'layers pulled apart': 'split or stepped between two layers',
  'soft detail': 'all there, but blurred or swollen',
}

/** A count for each thing seen; whoever saw none of them leaves all empty. */
function SeenFields({ seen }: { seen: string[] }) {
  const state = useField('failures')
  return (
    <div id={state.id} class="seen" tabIndex={-1}>
      <FieldGroup
        legend="What did the failed ones look like"
        hint="Say what you saw, not whose fault it is. Leave empty what you didn't see; whatever you leave out counts as “don't know”."
      >
        <HintAndError state={state} hint={undefined} />
        {seen.map((kind) => (
          <NumberField
            key={kind}
            optional
            whole
            steps
            name={`failures.${kind}`}
            label={`${kind.charAt(0).toUpperCase()}${kind.slice(1)}`}
            hint={seenHints[kind]}
            unit="copies"
          />
        ))}
      </FieldGroup>
    </div>
  )
}

const crowdings: Option[] = [
  { value: 'loose', label: 'Half empty', note: 'a finger fits between the copies' },
  { value: 'normal', label: 'About full', note: 'a few millimetres between them' },
  { value: 'packed', label: 'Packed', note: 'as many as would fit, edge to edge' },
]

const supportWords = {
  'as supplied': 'As the sculptor supplied them',
  'extra supports': 'Supplied ones, and I added some',
  'own supports': 'My own supports',
}

function supportOption({ value, kind, revision, isNewest }: SupportOption): Option {
  const label = supportWords[kind]
  if (revision === null) return { value, label }
  return { value, label, note: isNewest ? `of revision ${revision}` : `of revision ${revision}, an older one` }
}

const printerOption = ({ id, name }: Props['printers'][number]): Option => ({ value: id, label: name })
