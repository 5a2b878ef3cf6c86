import { Actions, Button, Disclosure } from '../parts/blocks.tsx'
import { ErrorSummary, type FormState } from '../parts/button-form.tsx'
import { CheckboxGroup, type Option, SelectField } from '../parts/choice-field.tsx'
import { MoneyField, NumberField } from '../parts/field.tsx'
import { Form } from '../parts/form.tsx'

export interface PlanChoices {
  currencies: [string, ...string[]]
  /** Entries that have several stand-ins, with these. */
  pins: { entryId: string; words: string; files: Option[] }[]
  /** Further ones of a long roster, whose files are listed when asked for. */
  others: Option[]
  /** What the last plan has, or excluded, to be excluded. */
  offers: Option[]
  files: Option[]
  sculptors: Option[]
  /** Style tags that occur. */
  themes: Option[]
}

interface Props extends PlanChoices {
  rosterId: string
  form: FormState
  /** It was just sent, and comes back. */
  isOpen: boolean
  /** Its list of entries was just made longer. */
  isPinning: boolean
}

const memberships = [
  { value: 'true', label: 'may be paid for' },
  { value: 'false', label: 'none' },
]
const blocked = [
  { value: 'true', label: 'are avoided' },
  { value: 'false', label: 'may be used' },
]

/** What a plan has to keep to; with nothing said it is the cheapest that the group would field. */
export function RosterPlanForm({ rosterId, form, isOpen, isPinning, currencies, pins, others, ...choices }: Props) {
  return (
    <div class="screen-only">
      <Form id="plan-form" action={`/rosters/${rosterId}/plan`} {...form}>
        <ErrorSummary before="it can be planned" />
        <Disclosure summary="Limits for the plan" open={isOpen}>
          <MoneyField optional name="budget" label="Spend on offers at most" currencies={currencies} />
          <NumberField
            optional
            name="looks"
            label="A model that the group would field is worth"
            unit={currencies[0]}
            hint="The group's own figure if left empty."
          />
          <NumberField optional whole name="minPercent" label="At least this many of 100 would field it" />
          <SelectField name="allowMemberships" label="Memberships" options={memberships} />
          <SelectField name="avoidBlocked" label="Files with a snag that stops the print" options={blocked} />
          {choices.themes.length > 0 && (
            <SelectField
              optional
              empty="none"
              name="theme"
              label="Theme"
              hint="A style that the army should share, as far as it is worth it."
              options={choices.themes}
            />
          )}
          {pins.length > 0 && <Pins {...{ rosterId, pins, others }} isOpen={isPinning || hasPins(form)} />}
          {choices.offers.length > 0 && (
            <CheckboxGroup optional name="exclude.offerIds" label="Do without these offers" options={choices.offers} />
          )}
          {choices.files.length > 0 && (
            <CheckboxGroup optional name="exclude.fileIds" label="Do without these files" options={choices.files} />
          )}
          {choices.sculptors.length > 0 && (
            <CheckboxGroup
              optional
              name="exclude.sculptorIds"
              label="Do without these sculptors"
              options={choices.sculptors}
            />
          )}
          <NumberField whole name="timeLimitS" label="Search for at most" unit="seconds" hint="1 to 60." />
          <Actions>
            <Button main>Plan with these</Button>
          </Actions>
        </Disclosure>
      </Form>
    </div>
  )
}

function Pins({ rosterId, pins, others, isOpen }: Pick<Props, 'rosterId' | 'pins' | 'others' | 'isOpen'>) {
  return (
    <Disclosure summary="Choose the file (or two) for an entry" open={isOpen}>
      {pins.map(({ entryId, words, files }) => (
        <SelectField
          key={entryId}
          optional
          empty="whichever is best"
          name={`pins.${entryId}`}
          label={words}
          options={files}
        />
      ))}
      {others.length > 0 && (
        <>
          <SelectField optional empty="none" name="another" label="Another entry" options={others} />
          <Button formAction={`/rosters/${rosterId}/plan/entries#plan-form`}>List its files, too</Button>
        </>
      )}
      <CheckboxGroup
        optional
        name="split"
        label="May be printed from two files, for variety"
        options={pins.map(({ entryId, words }) => ({ value: entryId, label: words }))}
      />
    </Disclosure>
  )
}

/** Something was chosen there, or is to be mended. */
function hasPins({ values, errors }: FormState): boolean {
  const isOne = (name: string) => name.startsWith('pins.') || name === 'split'
  return (
    Object.keys(errors).some(isOne) || Object.keys(values).some((name) => isOne(name) && values[name]?.length !== 0)
  )
}
