import { ArmyInMiniature } from '../parts/army.tsx'
import { unitWords } from '../parts/base.ts'
import { Beside } from '../parts/blocks.tsx'
import { EditForm, Press, type RoutedForm } from '../parts/button-form.tsx'
import { RadioGroup, SelectField } from '../parts/choice-field.tsx'
import { MoneyField, NumberField, TextArea, TextField } from '../parts/field.tsx'
import { useForm } from '../parts/form.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { counted } from '../parts/numbers.ts'
import type { FigureShadow } from '../parts/outline.ts'
import { type DrawnUnit, UnitDrawing } from '../parts/shadow.tsx'
import { SuggestField, type Suggestion } from '../parts/suggest-field.tsx'
import { aboutWords, type ListedRoster } from './Rosters.tsx'

interface Props extends RoutedForm {
  /** The army that it has; of a new one none. */
  roster: ListedRoster | null
}

const readers = [
  { value: 'false', label: 'only me' },
  { value: 'true', label: 'the whole group, who may copy it' },
]

/** Makes a roster from a pasted list, or changes its name and who may read it. */
export function EditRoster({ roster, ...form }: Props) {
  return (
    <EditForm
      {...form}
      button="Keep this roster"
      back={roster ? [`/rosters/${roster.id}`, 'Back to the roster'] : ['/rosters', 'Back to the rosters']}
      aside={roster && <ArmyBeside roster={roster} />}
    >
      <TextField name="name" label="Name of the roster" />
      {!roster && <PasteField />}
      <SelectField name="shared" label="Who may read it" options={readers} hint="Its plan and costs are yours alone." />
    </EditForm>
  )
}

/**
 * The box that a list is pasted into, beside it what its lines may look like, and what is asked where a line of it has two
 * numbers.
 */
export function PasteField() {
  const { values, errors } = useForm()
  return (
    <>
      <TextArea
        optional
        rows={10}
        name="text"
        label="The list"
        hint="One unit a line, with how many models. Names need not be exact."
      />
      {(errors.bracketed || values.bracketed) && (
        <RadioGroup
          name="bracketed"
          label="A number in brackets, as in “2 x Eel Spears (10 models)”"
          options={bracketed}
        />
      )}
      <Beside>
        <PasteHelp />
      </Beside>
    </>
  )
}

function PasteHelp() {
  return (
    <>
      <p>
        <strong>A line may look like this</strong>
      </p>
      <ul class="line-examples">
        <li>
          <samp>6 x Fen Wardens</samp> six models
        </li>
        <li>
          <samp>Fen Wardens, 6</samp> the same
        </li>
        <li>
          <samp>fen warden</samp> one whole unit of them
        </li>
        <li>
          <samp>2 x Eel Spears (10 models)</samp> you are asked which number counts
        </li>
      </ul>
      <p>
        Or paste a table with the words <samp>unit,models,retail price,currency</samp> as its first line.
      </p>
      <p class="quiet">
        Each line is matched to a unit; where it could mean several, you are asked. You can ask the group for whatever
        has no stand-in yet.
      </p>
    </>
  )
}

const bracketed = [
  { value: 'all', label: 'is how many there are in all: 10' },
  { value: 'each', label: 'is how many each of them has: 2 × 10 are 20' },
]

/** The army that an entry joins, or whose roster is changed. */
function ArmyBeside({ roster }: { roster: ListedRoster }) {
  if (roster.entries === 0) return <p class="quiet">No entry yet: this one is its first.</p>
  return (
    <>
      <ArmyInMiniature ranks={roster.ranks} more={roster.entries - roster.ranks.length} tellsStages />
      <p class="quiet">{aboutWords(roster)}</p>
    </>
  )
}

/** An entry as it stands, drawn by what stands in for its unit. */
interface EntryBeside {
  unit: (DrawnUnit & { id: string; name: string }) | null
  shadow: FigureShadow | null
  models: number
  standIns: number
  /** What its boxes cost, as far as known. */
  retail: MoneyValue | null
}

function EntryHere({ entry: { unit, shadow, models, standIns, retail } }: { entry: EntryBeside }) {
  if (!unit)
    return (
      <p class="quiet">It is not known which unit is meant: type its name, and choose one of those that come up.</p>
    )
  return (
    <>
      <UnitDrawing unit={{ ...unit, shadow }} />
      <p>
        <a href={`/units/${unit.id}`}>{unit.name}</a>: {unitWords({ ...unit, modelsPerUnit: null })},{' '}
        {standIns === 0 ? 'no stand-in yet' : `${counted(standIns, 'stand-in')} known`}
      </p>
      {retail && (
        <p>
          <strong class="sum side-figure-sum">
            <Money value={retail} />
          </strong>{' '}
          <span class="quiet">
            {models === 1 ? 'for the box of one model' : `for the boxes of ${models} models`}, as saved now
          </span>
        </p>
      )}
    </>
  )
}

interface EntryProps extends RoutedForm {
  /** Beside it: the entry as it is kept; of a new one the army that it joins. */
  beside: { entry: EntryBeside } | { roster: ListedRoster }
  /** The roster's page. */
  back: string
  /** What the typed name may mean. */
  found: Suggestion[]
  currencies: [string, ...string[]]
  /** Where it is taken off the list. */
  remove?: string
}

const pieces = [
  { value: 'box', label: 'a box' },
  { value: 'entry', label: 'the whole entry' },
]

/** One entry by hand: which unit, how many, and what its box costs. */
export function EditRosterEntry({ found, currencies, remove, beside, back, ...form }: EntryProps) {
  const isNew = 'roster' in beside
  const hint = isNew && 'One unit if left empty.'
  return (
    <>
      <EditForm
        {...form}
        button="Keep this entry"
        back={[back, 'Back to the roster']}
        aside={isNew ? <ArmyBeside roster={beside.roster} /> : <EntryHere entry={beside.entry} />}
      >
        <SuggestField
          name="words"
          target="unitId"
          label="Which unit"
          hint="Its name or another name; near enough will do."
          url="/units/suggest"
          found={found}
        />
        <NumberField whole optional={isNew} name="models" label="How many models" hint={hint} />
        <MoneyField
          optional
          name="retailPrice"
          label="Retail price"
          hint="Only if it differs from the unit’s."
          currencies={currencies}
        />
        <SelectField name="retailPer" label="That is the price of" options={pieces} />
      </EditForm>
      {remove && <Press id="remove" action={remove} button="Take it off the list" />}
    </>
  )
}
