import { hoursWords } from './numbers.ts'

/** What is to be done next for a unit of a roster. */
export interface Step {
  unit: string
  what: 'buy' | 'choose' | 'print' | 'build' | 'paint'
  models: number
  /** some are printed already */
  isMore: boolean
}

const words = { buy: 'buy the file for', choose: 'choose a file for', print: 'print', build: 'build', paint: 'paint' }

/** "print 3 more Wardens" */
export function stepWords({ what, models, unit, isMore }: Step): string {
  const isPart = isMore && what !== 'build' && what !== 'paint'
  return `${words[what]} ${models}${isPart ? ' more' : ''} ${unit}`
}

/** As far as a plan says them. */
export interface PlannedStep extends Step {
  plates: number | null
  hours: number | null
}

/** "print 3 more Wardens: 2 plates, 8 ½ h" */
export const plannedStepWords = (step: PlannedStep): string =>
  step.plates === null
    ? stepWords(step)
    : `${stepWords(step)}: ${platesWords({ plates: step.plates, hours: step.hours })}`

/** Where it is done: the section of the roster's page; the lists are there with a plan alone. */
export function stepHref(rosterId: string, { what, plates }: PlannedStep): string {
  const place = { buy: 'shopping', choose: 'plan', print: 'printing', build: 'army', paint: 'army' }[what]
  return `/rosters/${rosterId}#${what === 'print' && plates === null ? 'army' : place}`
}

/** "one plate, half empty, 4 ¼ h", "2 plates, 8 ½ h" */
export function platesWords({
  plates,
  hours,
  full,
}: {
  plates: number
  hours: number | null
  full?: string | undefined
}): string {
  const list = plates === 1 ? ['one plate', ...(full ? [full] : [])] : [`${plates} plates`]
  return [...list, ...(hours === null ? [] : [hoursWords(hours)])].join(', ')
}

/** What a report of a roster's plate begins with. */
export interface PlateToReport {
  fileId: string
  supportSetId: string | null
  entryId: string
  copies: number
  printer: { id: string } | null
}

/** The report form, filled in as the plate will be. */
export function reportHref({ fileId, supportSetId, entryId, copies, printer }: PlateToReport): string {
  const asked = new URLSearchParams({ fileId, entryId, copies: String(copies) })
  if (supportSetId) asked.set('supports', supportSetId)
  if (printer) asked.set('printerId', printer.id)
  return `/reports/new?${asked}`
}
