import { type Base, unitWords } from '../parts/base.ts'
import { Button, ButtonLink, ChangeLink, Disclosure, EmptyState, LinkList, Section } from '../parts/blocks.tsx'
import { Checkbox, CheckboxGroup, SelectField } from '../parts/choice-field.tsx'
import { NumberField } from '../parts/field.tsx'
import { Form, type Values } from '../parts/form.tsx'
import { Money, type MoneyValue, Sum } from '../parts/money.tsx'
import { type FigureSize, scaleFor } from '../parts/shadow.tsx'
import { figureOf, type StandIn, type StoodInFor } from './StandInCells.tsx'
import { StandInsBeside } from './StandInsBeside.tsx'
import type { UnitRow } from './Units.tsx'
import { UnitWall, type WallProps } from './UnitWall.tsx'

interface Props extends WallProps {
  /** How many there are without the filter. */
  known: number
  /** Options that occur among the stand-ins, to filter by. */
  options: string[]
  /** Up to four, side by side. */
  compared: StandIn[]
  requests: { id: string; wanted: number; asker: { name: string } }[]
}

/** Every known stand-in for a unit: filter, sort, compare. */
export function Unit(props: Props) {
  const { unit, known, compared } = props
  return (
    <>
      {props.requests.length > 0 && <OpenRequests requests={props.requests} />}
      {compared.length > 1 && <StandInsBeside compared={compared} unit={unit} />}
      <Section heading={known === 1 ? 'One known stand-in' : `${known} known stand-ins`} id="stand-ins">
        {known === 0 ? (
          <EmptyState words="Nobody has found a stand-in yet.">
            <p>
              <a href={`/requests/new?unitId=${unit.id}`}>Ask the group</a>, or{' '}
              <a href={`/files/new?unitId=${unit.id}`}>add a file</a> that you know.
            </p>
          </EmptyState>
        ) : (
          <>
            <UnitFilter {...props} />
            <UnitWall {...props} />
            <p>
              Know another? <a href={`/files/new?unitId=${unit.id}`}>Add a file that stands in</a>.
            </p>
          </>
        )}
      </Section>
    </>
  )
}

function OpenRequests({ requests }: Pick<Props, 'requests'>) {
  return (
    <p>
      Asked for now:{' '}
      <LinkList
        to="requests"
        things={requests.map(({ id, wanted, asker }) => ({ id, name: `${wanted} by ${asker.name}` }))}
      />
    </p>
  )
}

// What a figure may take of the wall.
const place = { heightPx: 148, widthPx: 150 }
/** So that a lone small figure is not blown up. */
const mostPxPerMm = 3

/** The one scale at which all of a page's figures find room in their places. */
export function wallScale(
  standIns: Pick<StandIn, 'shadow' | 'heightMm' | 'base' | 'scaleMm'>[],
  unit: StoodInFor,
): number {
  const figures = standIns.map((one): FigureSize => figureOf(one, unit))
  return Math.min(mostPxPerMm, scaleFor(figures, place, unit.base))
}

interface FilterProps {
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
function UnitFilter({ unit, values, options }: FilterProps) {
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

interface ShownUnit extends Pick<UnitRow, 'id' | 'aliases' | 'setting' | 'scaleMm' | 'base'> {
  modelsPerUnit: number
  retailPrice: MoneyValue | null
}

/** "28 mm, on 25 mm round bases, ten in a box": the link to change it, for whoever may. */
export function UnitLead({ unit, mayChange }: { unit: ShownUnit; mayChange: boolean }) {
  return (
    <>
      {unit.setting && `${unit.setting}: `}
      <ChangeLink href={mayChange && `/units/${unit.id}/edit`} what="the unit">
        {unitWords(unit)}
      </ChangeLink>
      .{unit.aliases.length > 0 && <em> Also called {unit.aliases.join(', ')}.</em>}
    </>
  )
}

/** What its box costs, which stand-ins are held against, and the way to ask for one. */
export function UnitSum({ unit, boxPerModel }: { unit: ShownUnit; boxPerModel: MoneyValue | null }) {
  return (
    <>
      {unit.retailPrice && (
        <p>
          <small>the box</small> <Sum value={unit.retailPrice} />
          {boxPerModel && unit.modelsPerUnit > 1 && (
            <small>
              <Money value={boxPerModel} /> a model
            </small>
          )}
        </p>
      )}
      <ButtonLink main href={`/requests/new?unitId=${unit.id}`}>
        Ask the group for a stand-in
      </ButtonLink>
    </>
  )
}
