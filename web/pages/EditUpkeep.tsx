import { Actions, Button } from '../parts/button.tsx'
import { RadioGroup } from '../parts/choice-field.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { DateField, TextArea } from '../parts/field.tsx'
import { Form, type FormState } from '../parts/form.tsx'
import { useReader } from '../parts/reader.tsx'

interface Props {
  id: string
  printerId: string
  form: FormState
  hidden: Record<string, string>
  takeBack: Record<string, string>
}

/** Corrects what was noted of a printer, or takes it back. */
export function EditUpkeep({ id, printerId, form, hidden, takeBack }: Props) {
  return (
    <>
      <Form action={`/upkeep/${id}/edit`} hidden={hidden} {...form}>
        <ErrorSummary />
        <UpkeepFields />
        <p class="hint">If you change the day, prints are counted as if it had been that day all along.</p>
        <Actions>
          <Button main>Keep this upkeep</Button>
          <a href={`/printers/${printerId}#upkeep`}>Back to the printer</a>
        </Actions>
      </Form>
      <Disclosure summary="Take this upkeep back">
        <p>If it was noted by mistake: the prints before and after it are then counted together.</p>
        <Form id="take-back" action={`/upkeep/${id}/take-back`} hidden={takeBack}>
          <Button>Take it back</Button>
        </Form>
      </Disclosure>
    </>
  )
}

const kinds = [
  { value: 'film changed', label: 'Film changed' },
  { value: 'plate levelled', label: 'Plate levelled' },
  { value: 'vat filtered', label: 'Vat emptied and filtered' },
  { value: 'screen replaced', label: 'Screen replaced' },
  { value: 'other', label: 'Something else', note: 'Say what, below.' },
]

/** What was done to a printer, and when. */
export function UpkeepFields() {
  const { today } = useReader()
  return (
    <>
      <RadioGroup big name="kind" label="What was done" options={kinds} />
      <DateField name="on" label="On which day" max={today} />
      <TextArea optional rows={2} name="remark" label="Remark" maxLength={500} />
    </>
  )
}
