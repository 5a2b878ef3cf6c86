import type { Base } from '../parts/base.ts'
import { Button, Disclosure } from '../parts/blocks.tsx'
import { Checkbox, CheckboxGroup, SelectField } from '../parts/choice-field.tsx'
import { NumberField } from '../parts/field.tsx'
import { Form, type Values } from '../parts/form.tsx'

interface Props {
  unit: { id: string; scaleMm: number; base: Base | null }
  values: Values
  options: string[]
}

const orders = [
  { value: 'score', label: 'cost and looks' },
  { value: 'cost', label: 'cost to table' },
  { value: 'price', label: 'price of the file' },
  { value: 'success', label: 'print success' },
]

const kinds = ['as supplied', 'extra supports', 'own supports']

/** What narrows a unit's stand-ins down, and in which order they come; it stands in the address. */
export function UnitFilter({ unit, values, options }: Props) {
  const isSet = Object.entries(values).some(
    ([name, value]) => !['sort', 'wanted', 'compare'].includes(name) && value.length > 0,
  )
  return (
    <Form
      action={`/units/${unit.id}`}
      method="get"
      class="form filter"
      label="Filter and sort"
      values={values}
      swaps="found"
    >
      <Disclosure summary="Filter and sort" open={isSet}>
        <NumberField whole name="wanted" label="For how many models" />
        <SelectField name="sort" label="In order of" options={orders} />
        <SelectField optional empty="any" name="support" label="Supports that print best" options={kinds} />
        <NumberField optional name="maxPrice" label="File costs at most" hint="In the group's currency." />
        <NumberField optional whole name="minSuccess" label="At least this many of 100 come out" />
        {options.length > 0 && <CheckboxGroup optional name="option" label="Comes with" options={options} />}
        <div class="choices">
          <Checkbox name="fitsScale" label={`Made for ${unit.scaleMm} mm`} />
          {unit.base && <Checkbox name="fitsBase" label="Fits the base" />}
          <Checkbox name="obtainable" label="Can be had" />
          <Checkbox name="unblocked" label="No snag stops the print" />
          <Checkbox name="own" label="Count what I already have, on my printer" />
        </div>
        <div class="actions">
          <Button>Show</Button>
          {isSet && <a href={`/units/${unit.id}`}>Show all</a>}
        </div>
      </Disclosure>
    </Form>
  )
}
