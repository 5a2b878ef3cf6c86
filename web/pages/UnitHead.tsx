import { unitWords } from '../parts/base.ts'
import { ButtonLink, ChangeLink } from '../parts/blocks.tsx'
import { Money, type MoneyValue, Sum } from '../parts/money.tsx'
import type { UnitRow } from './Units.tsx'

interface Unit extends Pick<UnitRow, 'id' | 'aliases' | 'setting' | 'scaleMm' | 'base'> {
  modelsPerUnit: number
  retailPrice: MoneyValue | null
}

/** "28 mm, on 25 mm round bases, ten in a box": the link to change it, for whoever may. */
export function UnitLead({ unit, mayChange }: { unit: Unit; mayChange: boolean }) {
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
export function UnitSum({ unit, boxPerModel }: { unit: Unit; boxPerModel: MoneyValue | null }) {
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
