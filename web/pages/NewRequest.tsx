import { Actions, Button } from '../parts/button.tsx'
import { Checkbox } from '../parts/choice-field.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { type Errors, Form, type Values } from '../parts/form.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { Section } from '../parts/section.tsx'
import { SuggestField, type Suggestion } from '../parts/suggest-field.tsx'
import { WantedFields } from './EditRequest.tsx'
import { UnitFields } from './EditUnit.tsx'

/** A file that is known to stand in for the unit already. */
export interface KnownStandIn {
  id: string
  title: string
  costToTable: MoneyValue | null
  obtainable: boolean
}

interface Props {
  form: { values: Values; errors: Errors }
  hidden: Record<string, string>
  currencies: [string, ...string[]]
  /** What the typed name may mean. */
  found: Suggestion[]
  /** The unit is chosen: what stands in for it already. */
  unit: { id: string; name: string } | null
  standIns: KnownStandIn[]
}

/** Asks the group for a stand-in: which unit, and what is wanted of it. */
export function NewRequest({ form, hidden, currencies, found, unit, standIns }: Props) {
  return (
    <>
      {unit && standIns.length > 0 && <Known unit={unit} standIns={standIns} />}
      <Form action="/requests/new" hidden={hidden} {...form}>
        <ErrorSummary />
        <SuggestField
          name="unitName"
          target="unitId"
          label="Which unit"
          hint="Its name, another name, or nearly so."
          url="/units/suggest"
          found={found}
          none="None of these: it is a new unit"
        />
        <WantedFields currencies={currencies} />
        <Disclosure summary="The unit is new to the group" open={isNew(form)}>
          <Checkbox name="isNew" label="Add it along with the request" />
          <UnitFields prefix="unit." currencies={currencies} />
        </Disclosure>
        <Actions>
          <Button main>{unit && standIns.length > 0 ? 'Post the request all the same' : 'Post the request'}</Button>
        </Actions>
      </Form>
    </>
  )
}

const isNew = ({ values, errors }: Props['form']) =>
  values.isNew === 'true' || Object.keys(errors).some((name) => name.startsWith('unit.'))

function Known({ unit, standIns }: { unit: { id: string; name: string }; standIns: KnownStandIn[] }) {
  return (
    <Section
      heading={`The group knows ${standIns.length === 1 ? 'a stand-in' : `${standIns.length} stand-ins`} already`}
    >
      <ol>
        {standIns.slice(0, 5).map((file) => (
          <li key={file.id}>
            <a href={`/files/${file.id}`}>{file.title}</a>
            {', '}
            {file.costToTable ? (
              <>
                about <Money value={file.costToTable} /> to the table
              </>
            ) : (
              'can no longer be had'
            )}
          </li>
        ))}
      </ol>
      <p>
        <a href={`/units/${unit.id}`}>Compare everything that stands in for {unit.name}</a>. If none of them will do,
        post your request below and say why.
      </p>
    </Section>
  )
}
