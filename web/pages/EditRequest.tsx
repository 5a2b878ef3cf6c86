import { unitWords } from '../parts/base.ts'
import { Beside, Disclosure, Section } from '../parts/blocks.tsx'
import { EditForm, Press, type SentForm } from '../parts/button-form.tsx'
import { Checkbox } from '../parts/choice-field.tsx'
import { DescribedHere } from '../parts/described-here.tsx'
import { DateField, MoneyField, NumberField, TextArea } from '../parts/field.tsx'
import { Money } from '../parts/money.tsx'
import { Shadow, scaleFor, UnitDrawing } from '../parts/shadow.tsx'
import { SuggestField, type Suggestion } from '../parts/suggest-field.tsx'
import type { AskedFor } from './RequestHead.tsx'
import { figureOf, type StandIn, type StoodInFor } from './StandInCells.tsx'
import { UnitFields } from './Units.tsx'

interface Props extends SentForm {
  request: Pick<AskedFor, 'id' | 'unit'>
  currencies: [string, ...string[]]
}

/** Changes what is wanted, or withdraws the request. */
export function EditRequest({ request, form, hidden, currencies }: Props) {
  const { id, unit } = request
  return (
    <>
      <EditForm
        form={form}
        action={`/requests/${id}/edit`}
        hidden={hidden}
        button="Save the change"
        back={[`/requests/${id}`, 'Back to the request']}
      >
        <WantedFields currencies={currencies} />
        <Beside>
          <UnitDrawing unit={unit} />
          <p>
            <a href={`/units/${unit.id}`}>{unit.name}</a>: {unitWords({ ...unit, modelsPerUnit: null })}
          </p>
        </Beside>
      </EditForm>
      <Section heading="Not needed any more?">
        <p>
          A withdrawn request takes no more proposals or votes. What was learnt about the files stays, and it can be
          opened again.
        </p>
        <Press
          id="withdraw"
          class="actions"
          action={`/requests/${id}/withdraw`}
          hidden={hidden}
          button="Withdraw the request"
        />
      </Section>
    </>
  )
}

/** What is wanted of the unit; asked when posting and when changing a request. */
function WantedFields({ currencies }: { currencies: [string, ...string[]] }) {
  return (
    <>
      <NumberField whole name="wanted" label="How many models" />
      <TextArea
        optional
        rows={3}
        name="mustHaves"
        label="Must have"
        hint="One a line: weapons, options, a banner. Proposals say which of them they cover."
      />
      <MoneyField optional name="budget" label="Budget" currencies={currencies} />
      <DateField optional name="neededBy" label="Needed by" />
      <TextArea
        optional
        name="remark"
        label="Anything else"
        hint="What it should look like, what you have seen already."
      />
    </>
  )
}

/** A file that is known to stand in for the unit already. */
type KnownStandIn = Pick<StandIn, 'id' | 'title' | 'costToTable' | 'scaleMm' | 'base' | 'heightMm' | 'shadow'>

type AskedUnit = StoodInFor & { modelsPerUnit: number; shadow: StandIn['shadow'] }

interface NewProps extends SentForm {
  currencies: [string, ...string[]]
  /** What the typed name may mean. */
  found: Suggestion[]
  /** The unit is chosen: what stands in for it already. */
  unit: AskedUnit | null
  standIns: KnownStandIn[]
}

/** Asks the group for a stand-in: which unit, and what is wanted of it. */
export function NewRequest({ form, hidden, currencies, found, unit, standIns }: NewProps) {
  return (
    <EditForm
      form={form}
      action="/requests/new"
      hidden={hidden}
      button={unit && standIns.length > 0 ? 'Post the request all the same' : 'Post the request'}
    >
      {unit && (
        <Beside>
          <UnitDrawing unit={unit} />
          <p>{unitWords(unit)}</p>
          {standIns.length > 0 && <Known unit={unit} standIns={standIns} />}
        </Beside>
      )}
      <SuggestField
        name="unitName"
        target="unitId"
        label="Which unit"
        hint="Its name or another name; near enough will do."
        url="/units/suggest"
        found={found}
      />
      <WantedFields currencies={currencies} />
      <Disclosure summary="The unit is new to the group" open={!unit && isNew(form)}>
        <Checkbox name="isNew" label="Add it along with the request" />
        <UnitFields prefix="unit." currencies={currencies} />
        <DescribedHere what="unit" prefix="unit." />
      </Disclosure>
      {!unit && (
        <Beside>
          <Next />
        </Beside>
      )}
    </EditForm>
  )
}

/** What becomes of a request. */
function Next() {
  return (
    <>
      <p>
        <strong>What happens next</strong>
      </p>
      <ol class="next-here">
        <li>If the group knows stand-ins already, you see them first, with what they cost.</li>
        <li>Members propose files, say which of your must-haves each covers, and whether they would field it.</li>
        <li>Answers are ranked by what they cost to get onto the table, and by looks. You settle on one.</li>
      </ol>
    </>
  )
}

/** It is, or the name that was typed is not known. */
const isNew = ({ values, errors }: NewProps['form']) =>
  values.isNew === 'true' ||
  Boolean(values.unitName && errors.unitName) ||
  Object.keys(errors).some((name) => name.startsWith('unit.'))

/** So many are shown here; the unit's page has them all. */
const most = 5
const room = { heightPx: 56, widthPx: 64 }

function Known({ unit, standIns }: { unit: AskedUnit; standIns: KnownStandIn[] }) {
  const shown = standIns.slice(0, most)
  const pxPerMm = scaleFor(
    shown.map((file) => figureOf(file, unit)),
    room,
    unit.base,
  )
  return (
    <>
      <h2 class="side-heading">
        The group knows {standIns.length === 1 ? 'a stand-in' : `${standIns.length} stand-ins`} already
      </h2>
      <ul class="side-rows">
        {shown.map((file) => (
          <li key={file.id}>
            <span class="choice-drawing">
              <Shadow figure={figureOf(file, unit)} unitBase={unit.base} pxPerMm={pxPerMm} />
            </span>
            <a href={`/files/${file.id}`}>{file.title}</a>
            <span class="side-sum">
              {file.costToTable ? <Money value={file.costToTable} /> : <small>not to be had</small>}
            </span>
          </li>
        ))}
      </ul>
      <p>
        {unit.modelsPerUnit === 1 ? 'One model' : `${unit.modelsPerUnit} models`} on the table.{' '}
        <a href={`/units/${unit.id}`}>Compare everything that stands in for {unit.name}</a>. If none of them will do,
        post your request and say why.
      </p>
    </>
  )
}
