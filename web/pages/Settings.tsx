import { Button } from '../parts/button.tsx'
import { SelectField } from '../parts/choice-field.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { DateField, NumberField, TextField } from '../parts/field.tsx'
import { type Errors, Form, type Values } from '../parts/form.tsx'
import { type Fit, Freshness } from '../parts/freshness.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { MoneyField } from '../parts/money-field.tsx'
import { useReader } from '../parts/reader.tsx'
import { Facts, Section } from '../parts/section.tsx'

interface Choice {
  value: string
  label: string
}

interface Filled {
  values: Values
  errors: Errors
}

interface Rate {
  currency: string
  worth: number
  seenOn: string
}

interface Changing {
  form: Filled
  hidden: Record<string, string>
  locales: Choice[]
  timeZones: Choice[]
  /** Empty once something is priced: the currency stays. */
  currencies: Choice[]
  rateForm: Filled
  rateHidden: Record<string, string>
  rateCurrencies: Choice[]
}

interface Props {
  settings: {
    name: string
    currency: string
    locale: string
    timeZone: string
    looksWorth: MoneyValue
    resinPricePerKg: MoneyValue
    resinGramsPerMl: number
    resinMlPerModel: number
    perPlate: MoneyValue
    cleanUp: MoneyValue
    cleanUpPerPlate: MoneyValue
    timePerHour: MoneyValue
  }
  /** How fresh the estimates are. */
  fit: Fit
  rates: Rate[]
  /** Currencies of offers that nothing can be compared with yet. */
  without: string[]
  /** For stewards. */
  changing: Changing | null
}

/** What every number means, what it starts from and what it does to the ranking. */
const words = {
  looksWorth: {
    label: 'Worth of looks, a model',
    hint: 'What it is worth to the group to have one model that it would field, rather than one that it would not. Higher: what the group likes moves up, even where it costs more. At 0 answers are ranked by cost alone. Starts at 1.00.',
  },
  resinPricePerKg: {
    label: 'Resin, a kilogram',
    hint: 'What a kilogram of resin costs you. Higher: large models and files that fail often move down. Starts at 35.00.',
  },
  resinGramsPerMl: {
    label: 'Weight of resin',
    hint: 'Turns the millilitres of a file into kilograms to pay for. The bottle or its data sheet says it. Starts at 1.1.',
  },
  resinMlPerModel: {
    label: 'Resin for a model, supports included',
    hint: 'Used only for files whose own figure nobody has entered. Starts at 10, about a foot soldier of 32 mm.',
  },
  perPlate: {
    label: 'A plate',
    hint: 'What a plate costs besides its resin: its share of a film, gloves, alcohol, power. Higher: large models that fill plates alone move down. Starts at 1.00.',
  },
  cleanUp: {
    label: 'Clean-up, a failed copy',
    hint: 'What a failed copy costs besides its resin and its place on another plate: wipes, alcohol, time. Higher: files that fail often move down. Starts at 0.50.',
  },
  cleanUpPerPlate: {
    label: 'Clean-up, a failed plate',
    hint: 'What a plate costs besides that on which anything failed, however many copies: emptying and filtering the vat, looking after the film. Higher: files that fail often move down. Starts at 1.00.',
  },
  timePerHour: {
    label: 'An hour of your time',
    hint: 'Counts the minutes that open snags cost, at the bench. At 0, where it starts, your time is free and snags that only cost time change nothing.',
  },
}

/** The group's own numbers: stewards change them, members see what they are counted by. */
export function Settings({ settings, fit, rates, without, changing }: Props) {
  return (
    <>
      {changing ? <Change settings={settings} {...changing} /> : <Shown settings={settings} />}
      <Section heading="Other currencies" id="rates">
        <p>
          Prices stay in the currency they were seen in. To rank them, each is turned into {settings.currency} by the
          newest rate noted here. An offer in a currency without a rate can't be counted.
        </p>
        {without.length > 0 && (
          <p>
            <strong>Wanted:</strong> offers are priced in {without.join(', ')}, and no rate is known.
          </p>
        )}
        <Rates rates={rates} own={settings.currency} mayDrop={changing !== null} />
        {changing && <NoteRate own={settings.currency} {...changing} />}
      </Section>
      <Freshness fit={fit} />
      <p>
        How the sum comes about is told in <a href="/help#ranking">the help</a>.
      </p>
    </>
  )
}

function Change({ settings, ...props }: Changing & Pick<Props, 'settings'>) {
  const own: [string] = [settings.currency]
  return (
    <Form action="/settings" hidden={props.hidden} {...props.form}>
      <ErrorSummary />
      <TextField name="name" label="Name of the group" />
      {props.currencies.length > 0 ? (
        <SelectField
          name="currency"
          label="Currency in which the group counts"
          hint="It can be changed until the first price is entered; the sums below are then in the new one, and rates are forgotten."
          options={props.currencies}
        />
      ) : (
        <p>
          The group counts in {settings.currency}. That stays so, since something has been priced: what was ranked and
          settled would no longer add up. Prices in other currencies are welcome, see below.
        </p>
      )}
      <SelectField name="locale" label="How numbers are written" options={props.locales} />
      <SelectField
        name="timeZone"
        label="Time zone"
        hint="Says which day it is for the group."
        options={props.timeZones}
      />
      <MoneyField name="looksWorth" currencies={own} {...words.looksWorth} />
      <MoneyField name="resinPricePerKg" currencies={own} {...words.resinPricePerKg} />
      <NumberField name="resinGramsPerMl" unit="g a ml" {...words.resinGramsPerMl} />
      <NumberField name="resinMlPerModel" unit="ml" {...words.resinMlPerModel} />
      <MoneyField name="perPlate" currencies={own} {...words.perPlate} />
      <MoneyField name="cleanUp" currencies={own} {...words.cleanUp} />
      <MoneyField name="cleanUpPerPlate" currencies={own} {...words.cleanUpPerPlate} />
      <MoneyField name="timePerHour" currencies={own} {...words.timePerHour} />
      <div class="actions">
        <Button main>Keep these settings</Button>
      </div>
    </Form>
  )
}

function Shown({ settings }: Pick<Props, 'settings'>) {
  const { locale } = useReader()
  const number = new Intl.NumberFormat(locale, { maximumFractionDigits: 3 })
  const values = {
    looksWorth: <Money value={settings.looksWorth} />,
    resinPricePerKg: <Money value={settings.resinPricePerKg} />,
    resinGramsPerMl: `${number.format(settings.resinGramsPerMl)} g a ml`,
    resinMlPerModel: `${number.format(settings.resinMlPerModel)} ml`,
    perPlate: <Money value={settings.perPlate} />,
    cleanUp: <Money value={settings.cleanUp} />,
    cleanUpPerPlate: <Money value={settings.cleanUpPerPlate} />,
    timePerHour: <Money value={settings.timePerHour} />,
  }
  const rows = (Object.keys(values) as (keyof typeof values)[]).map((key) => ({ key, ...words[key] }))
  return (
    <>
      <p>Stewards change these. Everything that is ranked is counted by them.</p>
      <Facts
        facts={[
          ['Group', settings.name],
          ['Counts in', settings.currency],
          ['Lives by the clock of', settings.timeZone],
        ]}
      />
      <DataTable
        caption="What the ranking counts with"
        rows={rows}
        rowKey={({ key }) => key}
        columns={[
          { label: 'What', head: true, cell: ({ label }) => label },
          { label: 'Now', figures: true, cell: ({ key }) => values[key] },
          { label: 'What it does', cell: ({ hint }) => hint },
        ]}
      />
    </>
  )
}

function Rates({ rates, own, mayDrop }: { rates: Rate[]; own: string; mayDrop: boolean }) {
  const { locale } = useReader()
  const number = new Intl.NumberFormat(locale, { maximumFractionDigits: 8 })
  if (rates.length === 0) return <EmptyState words={`No rate is noted. That is fine while every price is in ${own}.`} />
  return (
    <DataTable
      caption="Rates that count now"
      rows={rates}
      rowKey={({ currency }) => currency}
      columns={[
        { label: 'Currency', head: true, cell: ({ currency }) => `1 ${currency}` },
        { label: 'Is worth', figures: true, cell: ({ worth }) => `${number.format(worth)} ${own}` },
        { label: 'As seen', cell: ({ seenOn }) => <DateWords on={seenOn} as="both" /> },
        ...(mayDrop ? [{ label: 'Forget', cell: ({ currency }: Rate) => <Drop currency={currency} /> }] : []),
      ]}
    />
  )
}

function Drop({ currency }: { currency: string }) {
  return (
    <Form action={`/settings/rates/${currency}/drop`} id={`drop-${currency}`} class="actions">
      <Button label={`Forget the rates of ${currency}`}>Forget</Button>
    </Form>
  )
}

function NoteRate({ own, ...props }: Changing & { own: string }) {
  return (
    <Form action="/settings/rates" id="rate" hidden={props.rateHidden} label="Note a rate" {...props.rateForm}>
      <ErrorSummary />
      <SelectField name="currency" label="Currency" options={props.rateCurrencies} />
      <NumberField name="worth" label="What one of it is worth" unit={own} hint="Such as 0.92." />
      <DateField name="seenOn" label="Seen on" hint="Of several the newest counts." />
      <div class="actions">
        <Button>Note this rate</Button>
      </div>
    </Form>
  )
}
