import { ButtonForm, FoldedForm, type FormState } from '../parts/button-form.tsx'
import { CheckboxGroup, RadioGroup } from '../parts/choice-field.tsx'
import { NumberField, TextField } from '../parts/field.tsx'
import type { MoneyValue } from '../parts/money.tsx'
import type { FigureShadow } from '../parts/outline.ts'

export interface EntryRow {
  id: string
  words: string
  unit: { id: string; name: string; setting: string; scaleMm: number } | null
  nearest: { id: string; name: string; setting: string; scaleMm: number }[]
  models: number
  retail: MoneyValue | null
  standIns: number
  /** The newest open request for the unit. */
  asked: { requestId: string; at: string } | null
  /** Of a stand-in; null while none is measured. */
  shadow: FigureShadow | null
}

interface Props {
  rosterId: string
  entries: EntryRow[]
  once: Record<string, string>
}

/** Nobody knows a stand-in, and nobody has asked for one. */
export const isToAsk = ({ standIns, asked }: EntryRow): boolean => standIns === 0 && !asked

const unitWords = ({ name, setting, scaleMm }: EntryRow['nearest'][number]) =>
  [name, setting, `${scaleMm} mm`].filter(Boolean).join(', ')

/** Asks which unit is meant where a name on the list is only nearly one. */
export function WhichUnits({ rosterId, entries, once }: Props) {
  return (
    <div class="screen-only stack" id="which">
      <h3>Which units are these?</h3>
      <ButtonForm id="which-units" action={`/rosters/${rosterId}/units`} hidden={once} button="These are meant">
        {entries.map(({ id, words, models, nearest }) => (
          <RadioGroup
            key={id}
            optional
            name={`units.${id}`}
            label={`${models} × ${words}`}
            options={nearest.map((unit) => ({ value: unit.id, label: unitWords(unit) }))}
          />
        ))}
      </ButtonForm>
    </div>
  )
}

/** Posts requests for what nobody knows a stand-in for. */
export function AskGroup({ rosterId, entries, asking, once }: Props & { asking: FormState }) {
  const options = entries.map(({ id, words, models, unit }) => ({
    value: id,
    label: `${models} × ${unit?.name ?? words}`,
    note: unit ? 'no stand-in is known yet' : 'a new unit is made for it',
  }))
  return (
    <div class="screen-only" id="ask">
      <FoldedForm
        summary={`Ask the group for the ${entries.length === 1 ? 'missing one' : `${entries.length} missing`}`}
        form={asking}
        id="ask-group"
        action={`/rosters/${rosterId}/ask`}
        hidden={once}
        button="Post the requests"
      >
        <CheckboxGroup
          name="entryIds"
          label="Ask for"
          hint={entries.length > 100 && 'At most 100 at a time.'}
          options={options}
        />
        <TextField
          optional
          name="setting"
          label="Setting of the new units"
          hint="The world or game system that they belong to."
        />
        <NumberField name="scaleMm" label="Scale of the new units" unit="mm" />
      </FoldedForm>
    </div>
  )
}
