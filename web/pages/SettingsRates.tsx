import { Columns, EmptyState, Section } from '../parts/blocks.tsx'
import { ButtonForm, type FormState, Press } from '../parts/button-form.tsx'
import { type Option, SelectField } from '../parts/choice-field.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { DateField, NumberField } from '../parts/field.tsx'
import { useReader } from '../parts/reader.tsx'

export interface Rate {
  currency: string
  worth: number
  seenOn: string
}

/** For whoever may note rates. */
export interface NotingRates {
  rateForm: FormState
  rateHidden: Record<string, string>
  rateCurrencies: Option[]
}

interface Props {
  rates: Rate[]
  /** Currencies of offers that nothing can be compared with yet. */
  without: string[]
  own: string
  changing: NotingRates | null
}

/** What other currencies are worth. */
export function SettingsRates({ rates, without, own, changing }: Props) {
  return (
    <Section heading="Other currencies" id="rates">
      <p>
        Prices stay in the currency they were seen in. To rank them, each is turned into {own} by the newest rate noted
        here. An offer in a currency without a rate can't be counted.
      </p>
      {without.length > 0 && (
        <p>
          <strong>Wanted:</strong> offers are priced in {without.join(', ')}, and no rate is known.
        </p>
      )}
      {changing ? (
        <Columns main={<NoteRate own={own} {...changing} />} aside={<Rates rates={rates} own={own} mayDrop />} />
      ) : (
        <Rates rates={rates} own={own} mayDrop={false} />
      )}
    </Section>
  )
}

function Rates({ rates, own, mayDrop }: { rates: Rate[]; own: string; mayDrop: boolean }) {
  const { locale } = useReader()
  const number = new Intl.NumberFormat(locale, { maximumFractionDigits: 8 })
  if (rates.length === 0) return <EmptyState words={`No rate is noted. That is fine while every price is in ${own}.`} />
  return (
    <div>
      <h3>Rates that count now</h3>
      <ul class="endings">
        {rates.map(({ currency, worth, seenOn }) => (
          <li key={currency}>
            <p>
              1 {currency} is worth {number.format(worth)} {own}
              <small>
                as seen <DateWords on={seenOn} as="both" />
              </small>
            </p>
            {mayDrop && (
              <Press
                action={`/settings/rates/${currency}/drop`}
                id={`drop-${currency}`}
                class="actions"
                button="Forget"
                label={`Forget the rates of ${currency}`}
              />
            )}
          </li>
        ))}
      </ul>
    </div>
  )
}

function NoteRate({ own, ...props }: NotingRates & { own: string }) {
  return (
    <ButtonForm
      form={props.rateForm}
      action="/settings/rates"
      id="rate"
      hidden={props.rateHidden}
      label="Note a rate"
      button="Note this rate"
    >
      <SelectField name="currency" label="Currency" options={props.rateCurrencies} />
      <NumberField name="worth" label="What one of it is worth" unit={own} hint="Such as 0.92." />
      <DateField name="seenOn" label="Seen on" hint="Of several the newest counts." />
    </ButtonForm>
  )
}
