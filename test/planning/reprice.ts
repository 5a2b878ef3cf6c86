import type { Candidate, Instance } from '../../server/planning/instance.ts'
import type { Plan, PlannedEntry } from '../../server/planning/plan.ts'
import { differs, isAllowed, isAllowedOffer } from './every-plan.ts'

/**
 * Follows a plan through the input that it was made from.
 *
 * @returns what it costs by the input's own numbers; the objective has fractions where entries are split
 * @throws Error naming the first thing that the plan does and may not, or a total that is not the sum of its parts
 */
export function reprice(instance: Instance, plan: Plan): { objective: number; moneyMinor: number } {
  const { options } = instance
  const prices = plan.offers.map(({ offerId, priceMinor, opens }) => {
    const offer = need(
      instance.offers.find(({ id }) => id === offerId),
      `offer ${offerId}`,
    )
    expectSame(`price of ${offerId}`, priceMinor, offer.priceMinor)
    if (!isAllowedOffer(offer, instance)) throw new Error(`${offerId} is not to be used`)
    if (opens.length === 0) throw new Error(`${offerId} opens nothing`)
    return priceMinor
  })
  const offersMinor = total(prices)
  if (offersMinor > (options.budgetMinor ?? Number.POSITIVE_INFINITY)) throw new Error('beyond the budget')
  const bought = plan.offers.filter(({ priceMinor }) => priceMinor > 0).map(({ offerId }) => ({ id: offerId }))
  if (!differs(bought, instance)) throw new Error('does not differ')

  const seen = new Set<string>()
  let objective = offersMinor
  for (const entry of instance.entries) {
    const parts = plan.entries.filter(({ entryId }) => entryId === entry.id)
    const isUncovered = plan.uncovered.some(({ entryId }) => entryId === entry.id)
    if (parts.length > 0 === isUncovered) throw new Error(`${entry.id} is both covered and not, or neither`)
    if (parts.length > 0) expectSame(`models of ${entry.id}`, total(parts.map(({ models }) => models)), entry.models)
    if (parts.length > 1) objective -= splitBonus(instance, parts)
    for (const part of parts) {
      objective += costOf(instance, plan, part)
      if (seen.has(`${part.entryId} ${part.fileId}`)) throw new Error(`${part.fileId} twice for ${part.entryId}`)
      seen.add(`${part.entryId} ${part.fileId}`)
    }
  }
  expectSame('offers', plan.totals.offersMinor, offersMinor)
  expectSame('printing', plan.totals.printMinor, total(plan.entries.map(({ printMinor }) => printMinor)))
  return { objective, moneyMinor: plan.totals.offersMinor + plan.totals.printMinor }
}

function splitBonus({ entries }: Instance, parts: readonly PlannedEntry[]): number {
  const entry = need(
    entries.find(({ id }) => id === parts[0]?.entryId),
    'entry',
  )
  const { minPart, bonusMinor } = need(entry.split, `split of ${entry.id}`)
  if (parts.length > 2 || parts.some(({ models }) => models < minPart * entry.models - 1e-9)) {
    throw new Error(`${entry.id} is split too finely`)
  }
  return bonusMinor
}

function costOf(instance: Instance, plan: Plan, part: PlannedEntry): number {
  const { entryId, fileId, supportSetId, offerId, models } = part
  const entry = need(
    instance.entries.find(({ id }) => id === entryId),
    entryId,
  )
  const candidate: Candidate = need(
    instance.candidates.find((one) => {
      return one.entryId === entryId && one.fileId === fileId && (one.supportSetId ?? null) === supportSetId
    }),
    `candidate ${fileId}`,
  )
  if (!isAllowed(candidate, entry, instance)) throw new Error(`${fileId} is not to be used for ${entryId}`)
  const offer = need(
    instance.offers.find(({ id }) => id === offerId),
    offerId,
  )
  if (!offer.fileIds.includes(fileId)) throw new Error(`${offerId} does not open ${fileId}`)
  if (!plan.offers.some((bought) => bought.offerId === offerId && bought.opens.includes(entryId))) {
    throw new Error(`${offerId} is not bought for ${entryId}`)
  }
  const file = need(
    instance.files.find(({ id }) => id === fileId),
    fileId,
  )
  const { looksWorthMinor, theme } = instance.options
  const looks = Math.round(entry.models * looksWorthMinor * (entry.weight ?? 1) * (1 - candidate.share))
  expectSame('printing', part.printMinor, Math.round((models * candidate.printMinor) / entry.models))
  expectSame('looks', part.looksMinor, Math.round((models * looks) / entry.models))
  const bonus = theme && plan.styleTag !== null && file.styleTags.includes(plan.styleTag) ? theme.bonusMinor : 0
  return (models * (candidate.printMinor + looks - bonus)) / entry.models
}

function need<Thing>(thing: Thing | undefined, what: string): Thing {
  if (thing === undefined) throw new Error(`there is no ${what}`)
  return thing
}

function expectSame(what: string, planned: number, counted: number): void {
  if (planned !== counted) throw new Error(`${what}: ${planned} in the plan, ${counted} by the input`)
}

function total(numbers: readonly number[]): number {
  return numbers.reduce((sum, number) => sum + number, 0)
}
