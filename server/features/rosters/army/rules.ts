import type { NextStep } from '../../../../web/pages/Home.tsx'
import { invalid } from '../../../http/problem.ts'

interface Assembly {
  models: number
  printed: number
  built: number
  painted: number
}

type Change = { [Name in 'models' | 'built' | 'painted']?: number | undefined }

/**
 * How many models are built and painted after a change. What is taken back takes what comes after it along; what is not
 * printed is not built.
 *
 * @throws Problem 422 for more built than printed, or more painted than built
 */
export function assemblyAfter(before: Assembly, change: Change): Partial<Pick<Assembly, 'built' | 'painted'>> {
  const { models = before.models, built, painted } = change
  // A print that no longer counts may count again: what was built of it is kept until these numbers are touched.
  if (change.models === undefined && built === undefined && painted === undefined) return {}
  const printed = Math.min(before.printed, models)
  if (built !== undefined && built > printed) throw invalid('/built', `${countWords(printed)} printed.`)
  const nowBuilt = Math.min(built ?? before.built, printed)
  if (painted !== undefined && painted > nowBuilt) throw invalid('/painted', `${countWords(nowBuilt)} built.`)
  return { built: nowBuilt, painted: Math.min(painted ?? before.painted, nowBuilt) }
}

const countWords = (count: number) => (count === 0 ? 'None is' : count === 1 ? 'Only 1 is' : `Only ${count} are`)

/** The entry of a roster that is next. Of a plan: models, plates and hours of its printing list, null where not known. */
export interface NextRow {
  rosterId: string
  roster: string
  unit: string
  toBuy: number
  toPrint: number
  printed: number
  built: number
  painted: number
  planned: number | null
  plates: number | null
  hours: number | null
}

/**
 * What is to be done next: a file is bought before its models are printed, these before they are built and painted.
 * Plates for a part of what the plan prints are its plates in proportion, whole ones; hours go by the plates.
 */
export function nextStep({ rosterId, roster, unit, ...row }: NextRow): NextStep {
  const { toBuy, toPrint, printed, built, painted, planned, plates, hours } = row
  const about = { rosterId, roster, unit, isMore: printed > 0, plates: null, hours: null }
  if (toBuy > 0) return { ...about, what: planned === null ? 'choose' : 'buy', models: toBuy }
  if (toPrint > 0)
    return { ...about, what: 'print', models: toPrint, ...shareOfList(toPrint, { planned, plates, hours }) }
  if (built < printed) return { ...about, what: 'build', models: printed - built }
  return { ...about, what: 'paint', models: built - painted }
}

function shareOfList(models: number, { planned, plates, hours }: Pick<NextRow, 'planned' | 'plates' | 'hours'>) {
  if (!planned || !plates) return {}
  const some = Math.min(plates, Math.ceil((plates * models) / planned))
  return { plates: some, hours: hours === null ? null : (hours * some) / plates }
}
