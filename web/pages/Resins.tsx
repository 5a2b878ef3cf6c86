import { ButtonLink, Caution, Columns, EmptyState, Pager } from '../parts/blocks.tsx'
import { EditForm, FoldedPress, type RoutedForm } from '../parts/button-form.tsx'
import { FieldGroup, RadioGroup } from '../parts/choice-field.tsx'
import { MoneyField, NumberField, TextArea, TextField } from '../parts/field.tsx'
import { Money, type MoneyValue, Paid, Sum } from '../parts/money.tsx'

interface ResinRow {
  id: string
  name: string
  price: MoneyValue
  bottleG: number | null
  bottleMl: number | null
  gramsPerMl: number
  remark: string
  state: 'in use' | 'retired'
  isUsual: boolean
  /** What a model comes to, in the group's currency; null where it keeps no rate. */
  costs: { model: MoneyValue; modelMl: number } | null
}

interface Props {
  resins: ResinRow[]
  next: string | null
  currency: string
}

/** One's own bottles: what they cost and weigh counts for their owner, instead of the group's settings. */
export function Resins({ resins, next, currency }: Props) {
  return (
    <Columns
      main={
        <>
          <p>
            Your usual resin is what your answers, plans and spending are priced with; a plate may name another. Nobody
            else sees your bottles. Without a usual one the group’s settings count; <a href="/me#about">choose yours</a>
            .
          </p>
          {resins.length === 0 ? (
            <EmptyState words="You have no resin here yet: the group's price and density count for you.">
              <ButtonLink main href="/resins/new">
                Add a resin
              </ButtonLink>
            </EmptyState>
          ) : (
            <>
              <ul class="endings">
                {resins.map((resin) => (
                  <ResinLine key={resin.id} resin={resin} currency={currency} />
                ))}
              </ul>
              <Pager href={next && `/resins?after=${encodeURIComponent(next)}`} />
              <p>
                <ButtonLink href="/resins/new">Add another resin</ButtonLink>
              </p>
            </>
          )}
        </>
      }
      aside={<Caution />}
    />
  )
}

function ResinLine({ resin, currency }: { resin: ResinRow; currency: string }) {
  const { id, name, state, isUsual, costs, price, gramsPerMl, remark } = resin
  return (
    <li>
      <p>
        <a href={`/resins/${id}/edit`}>{name}</a>
        {isUsual && ', your usual one'}
        {state === 'retired' && ', retired'}
        <small>
          <Paid {...resin} />, {gramsPerMl} g per ml
          {!costs && `; the group’s price counts, as it has no exchange rate from ${price.currency} to ${currency}`}
          {remark && (
            <>
              ; <span class="said">{remark}</span>
            </>
          )}
        </small>
      </p>
      {costs && (
        <span class="resin-cost">
          <Sum value={costs.model} />
          <small>a model of {costs.modelMl} ml</small>
        </span>
      )}
    </li>
  )
}

interface EditProps extends RoutedForm {
  currencies: [string, ...string[]]
  /** What it comes to, of a resin that is here already; null where the group keeps no rate. */
  costs?: { kilogram: MoneyValue; model: MoneyValue; modelMl: number } | null
  /** Of a resin that is here already. */
  remove?: { action: string; hidden: Record<string, string> }
}

/** Adds a bottle of one's own, or changes one. */
export function EditResin({ currencies, costs, remove, ...form }: EditProps) {
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
                  ? 'The group has no exchange rate for the currency you paid in, so its density counts, at the group’s price.'
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
          If plates were printed with it, it is retired instead, since their cost depends on it.
        </FoldedPress>
      )}
    </>
  )
}

function Costs({ kilogram, model, modelMl }: NonNullable<EditProps['costs']>) {
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
