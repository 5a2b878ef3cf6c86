import type { NextHere } from '../../../../web/pages/RosterArmy.tsx'
import { fullestPlate } from '../plan/plates.ts'
import type { ShownPlan } from '../plan/schema.ts'
import type { StoredPlan } from '../plan/stored.ts'
import type { ArmyEntry } from './figures.ts'
import { nextStep } from './rules.ts'

interface Planned {
  plan: ShownPlan
  stored: StoredPlan
}

/**
 * What is next on a roster, by the rule that the page of requests goes by, with what a press needs besides: the plate as
 * the plan has it. What nobody knows a file for is waited for, so it is nobody's next step.
 */
export function nextHere(entries: readonly ArmyEntry[], planned: Planned | null): NextHere | null {
  const inPlan = Map.groupBy(planned?.plan.entries ?? [], ({ entryId }) => entryId)
  const [first] = entries
    .flatMap((entry) => (entry.state && isOpen(entry, entry.state) ? { entry, state: entry.state } : []))
    .toSorted((one, other) => rankOf(one, inPlan) - rankOf(other, inPlan))
  if (!first) return null
  const parts = inPlan.get(first.entry.id) ?? []
  const step = nextStep({ rosterId: '', roster: '', unit: nameOf(first.entry), ...first.state, ...listedOf(parts) })
  const [part] = parts
  return { ...step, plate: step.what === 'print' && part && planned ? plateOf(part, planned) : null }
}

type State = NonNullable<ArmyEntry['state']>
type Part = ShownPlan['entries'][number]
type InPlan = ReadonlyMap<string, Part[]>

const nameOf = ({ unit, words }: ArmyEntry) => unit?.name ?? words

const isOpen = ({ standIns }: ArmyEntry, { toBuy, toPrint, printed, painted }: State) =>
  (toBuy + toPrint > 0 && standIns > 0) || painted < printed

/** What is planned is printed first, then what still needs a plan, then one builds, then one paints. */
function rankOf({ entry, state }: { entry: ArmyEntry; state: State }, inPlan: InPlan): number {
  if (state.toBuy + state.toPrint > 0 && entry.standIns > 0) return inPlan.has(entry.id) ? 0 : 1
  return state.built < state.printed ? 2 : 3
}

function listedOf(parts: readonly Part[]) {
  if (parts.length === 0) return { planned: null, plates: null, hours: null }
  const sum = (of: (part: Part) => number | null) =>
    parts.every((part) => of(part) !== null) ? parts.reduce((total, part) => total + (of(part) ?? 0), 0) : null
  return {
    planned: parts.reduce((total, { models }) => total + models, 0),
    plates: sum(({ plates }) => plates),
    hours: sum(({ hours }) => hours),
  }
}

function plateOf(part: Part, { plan, stored }: Planned): NextHere['plate'] {
  const print = stored.outcome.prints.find(({ entryId, fileId }) => entryId === part.entryId && fileId === part.fileId)
  const fitting = print?.copiesPerPlate ?? null
  const printer = part.otherPrinter ?? plan.printer
  return {
    fileId: part.fileId,
    supportSetId: part.supportSetId,
    entryId: part.entryId,
    copies: Math.min(part.copies, fitting || part.copies),
    printer,
    full: (print && fullestPlate(print, part.copies))?.crowding ?? plan.crowding,
    filmPlates: part.otherPrinter ? null : stored.filmPlates,
  }
}
