import { unitWords } from '../parts/base.ts'
import { Beside, Section } from '../parts/blocks.tsx'
import { EditForm, Press, type SentForm } from '../parts/button-form.tsx'
import { DateField, MoneyField, NumberField, TextArea } from '../parts/field.tsx'
import { UnitDrawing } from '../parts/unit-shadow.tsx'
import type { AskedFor } from './RequestHead.tsx'

interface Props extends SentForm {
  request: Pick<AskedFor, 'id' | 'unit'>
  currencies: [string, ...string[]]
}

/** Changes what is wanted, or withdraws the request. */
export function EditRequest({ request, form, hidden, currencies }: Props) {
  const { id, unit } = request
  return (
    <>
      <EditForm
        form={form}
        action={`/requests/${id}/edit`}
        hidden={hidden}
        button="Save the change"
        back={[`/requests/${id}`, 'Back to the request']}
      >
        <WantedFields currencies={currencies} />
        <Beside>
          <UnitDrawing unit={unit} />
          <p>
            <a href={`/units/${unit.id}`}>{unit.name}</a>: {unitWords({ ...unit, modelsPerUnit: null })}
          </p>
        </Beside>
      </EditForm>
      <Section heading="Not needed any more?">
        <p>
          A withdrawn request takes no more proposals or votes. What was learnt about the files stays, and it can be
          opened again.
        </p>
        <Press
          id="withdraw"
          class="actions"
          action={`/requests/${id}/withdraw`}
          hidden={hidden}
          button="Withdraw the request"
        />
      </Section>
    </>
  )
}

/** What is wanted of the unit; asked when posting and when changing a request. */
export function WantedFields({ currencies }: { currencies: [string, ...string[]] }) {
  return (
    <>
      <NumberField whole name="wanted" label="How many models" />
      <TextArea
        optional
        rows={3}
        name="mustHaves"
        label="Must have"
        hint="One a line: weapons, options, a banner. Proposals say which of them they cover."
      />
      <MoneyField optional name="budget" label="Budget" currencies={currencies} />
      <DateField optional name="neededBy" label="Needed by" />
      <TextArea
        optional
        name="remark"
        label="Anything else"
        hint="What it should look like, what you have seen already."
      />
    </>
  )
}
