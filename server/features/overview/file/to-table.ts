import type { TableSum } from '../../../../web/pages/FileHead.tsx'
import { baseColumns } from '../../../http/base.ts'
import { fromMinor, toMinor } from '../../../http/money.ts'
import type { Viewer } from '../../../http/session.ts'
import type { writtenFile } from '../../catalogue/files/queries.ts'
import type { GroupModel, LineSuccess } from '../../evidence/queries.ts'
import { shownCost } from '../../requests/answers/answer.ts'
import { pricingOn } from '../../requests/answers/facts.ts'
import { wholeCost } from '../../requests/answers/price.ts'
import { exchangeInto } from '../../requests/answers/rules.ts'
import { type TabledFile, tabled } from '../../requests/answers/tabled.ts'

type WrittenFile = Awaited<ReturnType<typeof writtenFile>>

interface Known {
  model: GroupModel
  /** of the file, one for each kind of supports */
  lines: readonly LineSuccess[]
}

/**
 * What a file costs to the table, price included, as the wall of the unit that it stands in for has it: a model, of as many
 * as are in a box.
 *
 * @returns null for a file that nothing is known of
 */
export function toTable(file: WrittenFile, known: Known, viewer: Viewer): TableSum | null {
  const { group } = viewer
  const unit = file.units[0] ?? null
  const wanted = unit?.modelsPerUnit ?? 1
  const found = tabled(factsOf(file, known, viewer), countedFile(file), wanted)
  if (!found) return null
  const cost = wholeCost(found.print, found.way.priceMinor)
  const money = (minor: number) => fromMinor(minor, group.currency)
  const { breakdown } = shownCost({ cost, looks: 0, obtainable: found.whyNot === null, currency: group.currency })
  return {
    unit: unit?.name ?? null,
    wanted,
    whyNot: found.whyNot,
    way: found.way.offer?.kind ?? null,
    perModel: money(Math.round(found.costToTableMinor / wanted)),
    whole: money(found.costToTableMinor),
    badLuck: money(cost.badLuckCostMinor),
    breakdown,
  }
}

/** A file as its page reads it, as far as it is counted, for somebody who has yet to get it. */
const countedFile = ({ id, resinMl, footPrint, base, snags, offers }: WrittenFile): TabledFile => ({
  id,
  resinMl,
  footPrint,
  ...baseColumns(base),
  snags: snags.filter(({ state }) => state !== 'mended'),
  offers: offers.map((offer) => ({
    ...offer,
    priceMinor: toMinor(offer.price),
    priceCurrency: offer.price.currency,
  })),
  inArchive: false,
})

/** As `factsFor` has them, of what the page has read already. */
const factsOf = ({ id }: WrittenFile, { model, lines }: Known, { group }: Viewer) => ({
  success: new Map([[id, [...lines]]]),
  pricing: pricingOn(model, group, { printer: null, bottle: null, crowding: 'about full' }),
  exchange: exchangeInto(group),
  memberships: new Set<string>(),
})
