import { Caution } from '../parts/blocks.tsx'
import { EditForm, FoldedPress, type RoutedForm } from '../parts/button-form.tsx'
import { FieldGroup, RadioGroup } from '../parts/choice-field.tsx'
import { MoneyField, NumberField, TextArea, TextField } from '../parts/field.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'

interface Props extends RoutedForm {
  currencies: [string, ...string[]]
  /** What it comes to, of a resin that is here already; null where the group keeps no rate. */
  costs?: { kilogram: MoneyValue; model: MoneyValue; modelMl: number } | null
  /** Of a resin that is here already. */
  remove?: { action: string; hidden: Record<string, string> }
}

/** Adds a bottle of one's own, or changes one. */
export function EditResin({ currencies, costs, remove, ...form }: Props) {
  return (
    <>
      <EditForm
        {...form}
        button="Keep this resin"
        back={['/resins', 'Back to your resins']}
        aside={
          <>
            {costs ? (
              <Costs {...costs} />
            ) : (
              <p>
                {remove
                  ? 'The group keeps no rate for the currency you paid in, so its density counts, at the group’s price.'
                  : 'Your first bottle becomes your usual one: your answers, plans and spending are priced with it from then on. Nobody else sees it.'}
              </p>
            )}
            <Caution />
          </>
        }
      >
        <TextField name="name" label="What you call it" maxLength={80} />
        <MoneyField
          name="price"
          label="What it cost"
          hint="The bottle, or a kilogram if you don’t say how much is in it."
          currencies={currencies}
        />
        <FieldGroup legend="How much is in the bottle" optional hint="In g or in ml, as it says on the label.">
          <NumberField optional name="bottleG" label="By weight" unit="g" />
          <NumberField optional name="bottleMl" label="By volume" unit="ml" />
        </FieldGroup>
        <NumberField
          name="gramsPerMl"
          label="Density"
          unit="g per ml"
          hint="On its data sheet; 1.05 to 1.25 is usual (common practice, no source)."
        />
        <TextArea optional rows={2} name="remark" label="Remark" maxLength={1000} />
        {remove && <RadioGroup name="state" label="Do you still use it?" options={states} />}
      </EditForm>
      {remove && (
        <FoldedPress summary="Remove this resin" id="remove" {...remove} button="Remove it">
          If plates were printed with it, it is retired instead, since they cost what it costs.
        </FoldedPress>
      )}
    </>
  )
}

function Costs({ kilogram, model, modelMl }: NonNullable<Props['costs']>) {
  return (
    <>
      <p>
        <strong class="sum side-figure-sum">
          <Money value={model} />
        </strong>{' '}
        a model of {modelMl} ml
      </p>
      <p class="quiet">
        <Money value={kilogram} /> a kilogram, by what is kept here; failures, plates and clean-up come on top.
      </p>
    </>
  )
}

const states = [
  { value: 'in use', label: 'In use' },
  { value: 'retired', label: 'Retired', note: 'Plates that were printed with it keep it; no new ones can name it.' },
]
