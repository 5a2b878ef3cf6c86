import { Columns, EmptyState, Section } from '../parts/blocks.tsx'
import { ButtonForm, EditForm, type FormState, Press, type SentForm } from '../parts/button-form.tsx'
import { type Option, SelectField } from '../parts/choice-field.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { DateField, MoneyField, NumberField, TextField } from '../parts/field.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { useReader } from '../parts/reader.tsx'
import settingWords from '../texts/settings.json' with { type: 'json' }
import { Estimates, type EstimatesProps } from './Estimates.tsx'
import { Example } from './Help.tsx'

interface Changing extends NotingRates, SentForm {
  locales: Option[]
  timeZones: Option[]
  /** Empty once something is priced: the currency stays. */
  currencies: Option[]
}

interface Props {
  settings: ShownSettings
  estimates: EstimatesProps
  rates: Rate[]
  /** Currencies of offers that nothing can be compared with yet. */
  without: string[]
  /** For stewards. */
  changing: Changing | null
}

/** The group's own numbers: stewards change them, members see what they are counted by. */
export function Settings({ settings, estimates, rates, without, changing }: Props) {
  return (
    <>
      {changing ? (
        <Change settings={settings} {...changing} />
      ) : (
        <Columns main={<SettingsShown settings={settings} />} aside={<CountedWith />} />
      )}
      <SettingsRates rates={rates} without={without} own={settings.currency} changing={changing} />
      <Estimates {...estimates} />
    </>
  )
}

/** What the settings are for: a sum as they make it where a group starts. */
const CountedWith = () => (
  <>
    <Example />
    <p>
      <a href="/help#ranking">How the sum comes about</a>
    </p>
  </>
)

function Change({ settings, ...props }: Changing & Pick<Props, 'settings'>) {
  const own: [string] = [settings.currency]
  return (
    <EditForm
      form={props.form}
      action="/settings"
      hidden={props.hidden}
      button="Keep these settings"
      aside={<CountedWith />}
    >
      <TextField name="name" label="Name of the group" />
      {props.currencies.length > 0 ? (
        <SelectField
          name="currency"
          label="Currency in which the group counts"
          hint="It can be changed until the first price is entered; the amounts below are then in the new currency, and exchange rates are deleted."
          options={props.currencies}
        />
      ) : (
        <p>
          The group counts in {settings.currency}. The currency stays, since something has been priced: what was ranked
          and settled would no longer add up. Prices in other currencies are welcome, see below.
        </p>
      )}
      <SelectField name="locale" label="How numbers are written" options={props.locales} />
      <SelectField
        name="timeZone"
        label="Time zone"
        hint="Says which day it is for the group."
        options={props.timeZones}
      />
      <MoneyField name="looksWorth" currencies={own} {...settingWords.looksWorth} />
      <MoneyField name="resinPricePerKg" currencies={own} {...settingWords.resinPricePerKg} />
      <NumberField name="resinGramsPerMl" unit="g per ml" {...settingWords.resinGramsPerMl} />
      <NumberField name="resinMlPerModel" unit="ml" {...settingWords.resinMlPerModel} />
      <MoneyField name="perPlate" currencies={own} {...settingWords.perPlate} />
      <MoneyField name="cleanUp" currencies={own} {...settingWords.cleanUp} />
      <MoneyField name="cleanUpPerPlate" currencies={own} {...settingWords.cleanUpPerPlate} />
      <MoneyField name="timePerHour" currencies={own} {...settingWords.timePerHour} />
    </EditForm>
  )
}

type Priced = 'looksWorth' | 'resinPricePerKg' | 'perPlate' | 'cleanUp' | 'cleanUpPerPlate' | 'timePerHour'

type ShownSettings = Record<'name' | 'currency' | 'locale' | 'timeZone', string> &
  Record<'resinGramsPerMl' | 'resinMlPerModel', number> &
  Record<Priced, MoneyValue>

/** The group's numbers for whoever may only read them. */
function SettingsShown({ settings }: { settings: ShownSettings }) {
  const { locale } = useReader()
  const number = new Intl.NumberFormat(locale, { maximumFractionDigits: 3 })
  const told = (key: keyof typeof settingWords) => {
    if (key === 'resinGramsPerMl') return `${number.format(settings[key])} g per ml`
    if (key === 'resinMlPerModel') return `${number.format(settings[key])} ml`
    return <Money value={settings[key]} />
  }
  return (
    <div class="stack">
      <p>
        {settings.name} counts in {settings.currency} and uses the time zone {settings.timeZone}. Everything is ranked
        by these numbers, which <a href="/members">stewards</a> can change.
      </p>
      <ul class="side-lines">
        {(Object.keys(settingWords) as (keyof typeof settingWords)[]).map((key) => (
          <li key={key}>
            {settingWords[key].label}: <strong>{told(key)}</strong>
            <small>{settingWords[key].hint}</small>
          </li>
        ))}
      </ul>
    </div>
  )
}

interface Rate {
  currency: string
  worth: number
  seenOn: string
}

/** For whoever may note rates. */
interface NotingRates {
  rateForm: FormState
  rateHidden: Record<string, string>
  rateCurrencies: Option[]
}

interface RatesProps {
  rates: Rate[]
  /** Currencies of offers that nothing can be compared with yet. */
  without: string[]
  own: string
  changing: NotingRates | null
}

/** What other currencies are worth. */
function SettingsRates({ rates, without, own, changing }: RatesProps) {
  return (
    <Section heading="Other currencies" id="rates">
      <p>
        Prices stay in the currency they were seen in. To rank them, each is turned into {own} by the newest rate noted
        here. An offer in a currency without a rate can't be counted.
      </p>
      {without.length > 0 && (
        <p>
          <strong>Wanted:</strong> offers are priced in {without.join(', ')}, and their exchange rate is not known.
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
      <NumberField name="worth" label="What one unit of it is worth" unit={own} hint="Such as 0.92." />
      <DateField name="seenOn" label="Seen on" hint="The newest rate counts." />
    </ButtonForm>
  )
}
