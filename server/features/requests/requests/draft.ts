import { z } from 'zod'
import type { Db } from '../../../../db/connect.ts'
import type { Viewer } from '../../../http/session.ts'
import { isCalled, type Named } from '../../catalogue/files/meant.ts'
import { findUnit, listUnits } from '../../catalogue/units/queries.ts'
import type { Unit } from '../../catalogue/units/schema.ts'
import { unitSuggestion } from '../../catalogue/units/suggestion.ts'
import { unitAnswers } from '../answers/queries.ts'
import type { Answer } from '../answers/schema.ts'

/** How far a request for a unit has come while it is being written: which unit it is, and what is known of it. */
export interface Draft {
  unit: Unit | null
  /** What stands in for it already, cheapest first. */
  standIns: (Pick<Answer['file'], 'id' | 'title' | 'scaleMm' | 'base' | 'heightMm' | 'shadow'> &
    Pick<Answer, 'costToTable'>)[]
  /** What the typed name may mean. */
  found: Named[]
  /** To be answered before it can be posted. */
  question: string | undefined
  values: Record<string, string>
  /** The posted fields as the body of a request: its unit by id, or described. */
  body: Record<string, unknown>
}

const choice = z.object({
  unitId: z.string().optional().catch(undefined),
  unitName: z.string().trim().max(120).default('').catch(''),
  isNew: z.literal('true').optional().catch(undefined),
  seen: z.string().optional().catch(undefined),
})

/**
 * Finds the unit that a request is about: chosen from the list, typed (in full, or nearly so), or new; and shows what
 * stands in for it before the request is posted.
 *
 * @param posted the fields of the form as they came, or the chosen id alone
 */
export async function draftOf(db: Db, viewer: Viewer, posted: unknown): Promise<Draft> {
  const { unitId, unitName, isNew, seen } = choice.parse(posted ?? {})
  const rest = withoutChoice(posted)
  if (isNew) return newUnitDraft(unitName, rest)
  const found = await candidates(db, { unitId, typed: unitName, madeFor: seen })
  const unit = found.chosen
  const standIns = unit ? await knownStandIns(db, viewer, unit) : []
  return {
    unit,
    standIns,
    found: unit ? [] : found.near.map(unitSuggestion),
    question: questionAbout(found, standIns.length > 0 && seen !== unit?.id),
    values: { unitName: unit?.name ?? unitName, unitId: unit?.id ?? '' },
    body: { ...rest.wanted, unitId: unit?.id ?? '' },
  }
}

interface Candidates {
  chosen: Unit | null
  near: Unit[]
  typed: string
}

interface Choice {
  unitId: string | undefined
  typed: string
  /** The unit that the page was made for. */
  madeFor: string | undefined
}

async function candidates(db: Db, { unitId, typed, madeFor }: Choice): Promise<Candidates> {
  const chosen = z.uuid().safeParse(unitId).success ? await findUnit(db, unitId ?? '') : null
  // Without scripts the id stays in the form when the name beside it is typed over: then the name counts.
  const isTypedOver = typed !== '' && unitId === madeFor && chosen !== null && !isCalled(unitSuggestion(chosen), typed)
  if (chosen && !isTypedOver) return { chosen, near: [], typed }
  const near = typed ? (await listUnits(db, { limit: 8, q: typed })).items : []
  const same = near.filter((unit) => isCalled(unitSuggestion(unit), typed))
  return { chosen: same.length === 1 ? (same[0] ?? null) : null, near, typed }
}

function questionAbout({ chosen, near, typed }: Candidates, hasUnseen: boolean): string | undefined {
  if (chosen)
    return hasUnseen
      ? 'Have a look at what is known already. If none of it will do, post the request all the same.'
      : undefined
  if (!typed) return 'Which unit do you want a stand-in for?'
  if (near.length > 0) return 'Which of these do you mean? If none, tick below that it is new, and describe it.'
  return 'The group does not know this unit yet. Tick below that it is new, and describe it.'
}

async function knownStandIns(db: Db, viewer: Viewer, unit: Unit): Promise<Draft['standIns']> {
  if (unit.standIns === 0) return []
  const { answers } = await unitAnswers(db, viewer, unit, { own: 'false' })
  return answers.items.map(({ file, costToTable }) => ({ ...file, costToTable }))
}

function newUnitDraft(unitName: string, { wanted, unit }: ReturnType<typeof withoutChoice>): Draft {
  const named = { ...unit, 'unit.name': unit['unit.name'] || unitName }
  const values = { unitName, unitId: '', isNew: 'true', 'unit.name': named['unit.name'] }
  return { unit: null, standIns: [], found: [], question: undefined, values, body: { ...wanted, ...named } }
}

/** The posted fields apart: what is wanted, and the description of a new unit. */
function withoutChoice(posted: unknown) {
  const { unitId, unitName, isNew, seen, ...fields } = (posted ?? {}) as Record<string, string>
  const isUnit = ([name]: [string, string]) => name.startsWith('unit.')
  const entries = Object.entries(fields)
  return {
    wanted: Object.fromEntries(entries.filter((entry) => !isUnit(entry))),
    unit: Object.fromEntries(entries.filter(isUnit)) as Record<string, string>,
  }
}
