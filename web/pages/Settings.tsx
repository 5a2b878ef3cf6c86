import type { VNode } from 'preact'
import { Beside } from '../parts/beside.tsx'
import { Button } from '../parts/button.tsx'
import { SelectField } from '../parts/choice-field.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { NumberField, TextField } from '../parts/field.tsx'
import { Form, type FormState } from '../parts/form.tsx'
import { type Fit, Freshness } from '../parts/freshness.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { MoneyField } from '../parts/money-field.tsx'
import { useReader } from '../parts/reader.tsx'
import { Columns } from '../parts/section.tsx'
import { type CountedExample, SettingsExample } from './SettingsExample.tsx'
import { type Choice, type NotingRates, type Rate, SettingsRates } from './SettingsRates.tsx'

interface Changing extends NotingRates {
  form: FormState
  hidden: Record<string, string>
  locales: Choice[]
  timeZones: Choice[]
  /** Empty once something is priced: the currency stays. */
  currencies: Choice[]
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
  example: CountedExample
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

const labels = Object.fromEntries(Object.entries(words).map(([name, { label }]) => [name, label]))

/** The group's own numbers: stewards change them, members see what they are counted by. */
export function Settings({ settings, example, fit, rates, without, changing }: Props) {
  const beside = <SettingsExample example={example} labels={labels} mayChange={changing !== null} />
  return (
    <>
      {changing ? (
        <Change settings={settings} beside={beside} {...changing} />
      ) : (
        <Columns main={<Shown settings={settings} />} aside={beside} />
      )}
      <SettingsRates rates={rates} without={without} own={settings.currency} changing={changing} />
      <Freshness fit={fit} />
      <p>
        <a href="/help#ranking">How the sum comes about</a>
      </p>
    </>
  )
}

function Change({ settings, beside, ...props }: Changing & Pick<Props, 'settings'> & { beside: VNode }) {
  const own: [string] = [settings.currency]
  return (
    <Form class="form form-beside" action="/settings" hidden={props.hidden} {...props.form}>
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
          The group counts in {settings.currency}. That stays, since something has been priced: what was ranked and
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
      <Beside>{beside}</Beside>
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
      <p>
        {settings.name} counts in {settings.currency} and goes by the clock of {settings.timeZone}. Stewards change
        these numbers; everything that is ranked goes by them.
      </p>
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
