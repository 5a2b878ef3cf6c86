import { Beside } from '../parts/blocks.tsx'
import { EditForm, type RoutedForm } from '../parts/button-form.tsx'
import { BaseFields } from '../parts/choice-field.tsx'
import { DescribedHere } from '../parts/described-here.tsx'
import { MoneyField, NumberField, TextArea, TextField } from '../parts/field.tsx'
import { AddedByMistake, type Mistake } from './Merge.tsx'

interface Props extends RoutedForm {
  currencies: [string, ...string[]]
  /** Of a unit that is there already. */
  mistake?: Mistake
}

/** Adds a unit or changes one. */
export function EditUnit({ currencies, mistake, ...form }: Props) {
  return (
    <>
      <EditForm {...form} button="Keep this unit">
        <UnitFields currencies={currencies} />
        <Beside>
          <DescribedHere what="unit" />
        </Beside>
      </EditForm>
      {mistake && <AddedByMistake kind="unit" {...mistake} />}
    </>
  )
}

/** What has to be known of a unit; also asked within a request for a unit that nobody has entered yet. */
export function UnitFields({ prefix = '', currencies }: { prefix?: string; currencies: [string, ...string[]] }) {
  return (
    <>
      <TextField name={`${prefix}name`} label="Name of the unit" />
      <TextArea
        optional
        rows={2}
        name={`${prefix}aliases`}
        label="Other names"
        hint="One a line: short forms, older names. They are found as well."
      />
      <TextField optional name={`${prefix}setting`} label="Setting" hint="The world or game system it belongs to." />
      <NumberField name={`${prefix}scaleMm`} label="Scale" unit="mm" hint="Usually 28 or 32." />
      <BaseFields prefix={prefix} />
      <NumberField whole name={`${prefix}modelsPerUnit`} label="Models in one unit" />
      <MoneyField optional name={`${prefix}retailPrice`} label="Price of its box" currencies={currencies} />
    </>
  )
}
