import type { VNode } from 'preact'
import { Columns } from '../parts/blocks.tsx'
import { EditForm, type SentForm } from '../parts/button-form.tsx'
import { type Option, SelectField } from '../parts/choice-field.tsx'
import { MoneyField, NumberField, TextField } from '../parts/field.tsx'
import { type Fit, Freshness } from '../parts/freshness.tsx'
import settingWords from '../texts/settings.json' with { type: 'json' }
import { type CountedExample, SettingsExample } from './SettingsExample.tsx'
import { type NotingRates, type Rate, SettingsRates } from './SettingsRates.tsx'
import { SettingsShown, type ShownSettings } from './SettingsShown.tsx'

interface Changing extends NotingRates, SentForm {
  locales: Option[]
  timeZones: Option[]
  /** Empty once something is priced: the currency stays. */
  currencies: Option[]
}

interface Props {
  settings: ShownSettings
  example: CountedExample
  /** How fresh the estimates are. */
  fit: Fit
  rates: Rate[]
  /** Currencies of offers that nothing can be compared with yet. */
  without: string[]
  /** For stewards. */
  changing: Changing | null
}

/** The group's own numbers: stewards change them, members see what they are counted by. */
export function Settings({ settings, example, fit, rates, without, changing }: Props) {
  const beside = <SettingsExample example={example} mayChange={changing !== null} />
  return (
    <>
      {changing ? (
        <Change settings={settings} beside={beside} {...changing} />
      ) : (
        <Columns main={<SettingsShown settings={settings} />} aside={beside} />
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
    <EditForm form={props.form} action="/settings" hidden={props.hidden} button="Keep these settings" aside={beside}>
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
