import type { TableSum } from '../../../../web/pages/FileHead.tsx'
import { baseColumns } from '../../../http/base.ts'
import { fromMinor, toMinor } from '../../../http/money.ts'
import type { Viewer } from '../../../http/session.ts'
import type { writtenFile } from '../../catalogue/files/queries.ts'
import type { GroupModel, LineSuccess } from '../../evidence/queries.ts'
import { type PresentPrinter, usualOf } from '../../printing/printers/own.ts'
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
  /** those that the viewer has in use */
  printers: readonly PresentPrinter[]
}

/**
 * What a file costs to the table, price included, as the wall of the unit that it stands in for has it: a model, of as many
 * as are in a box, and one alone. For whoever has it also what it costs them, on their own printer and with their own resin.
 *
 * @returns null for a file that nothing is known of
 */
export function toTable(file: WrittenFile, known: Known, viewer: Viewer): TableSum | null {
  const { group } = viewer
  const unit = file.units[0] ?? null
  const wanted = unit?.modelsPerUnit ?? 1
  const counted = countedFile(file)
  const anybody = factsOf(file, known, viewer, { own: false })
  const asGroup = { ...counted, inArchive: false }
  const found = tabled(anybody, asGroup, wanted)
  const alone = tabled(anybody, asGroup, 1)
  if (!found || !alone) return null
  const cost = wholeCost(found.print, found.way.priceMinor)
  const mine = tabled(factsOf(file, known, viewer, { own: true }), counted, wanted)
  const money = (minor: number) => fromMinor(minor, group.currency)
  const { breakdown } = shownCost({ cost, looks: 0, obtainable: found.whyNot === null, currency: group.currency })
  return {
    unit: unit?.name ?? null,
    wanted,
    whyNot: found.whyNot,
    way: found.way.offer?.kind ?? null,
    perModel: money(Math.round(found.costToTableMinor / wanted)),
    whole: money(found.costToTableMinor),
    alone: money(alone.costToTableMinor),
    badLuck: money(cost.badLuckCostMinor),
    mine: mine?.way.owned ? money(Math.round(mine.costToTableMinor / wanted)) : null,
    breakdown,
  }
}

/** A file as its page reads it, as far as it is counted. */
const countedFile = ({ id, resinMl, footPrint, base, snags, offers, inArchive }: WrittenFile): TabledFile => ({
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
  inArchive,
})

/** As `factsFor` has them, of what the page has read already. */
function factsOf({ id, offers }: WrittenFile, known: Known, viewer: Viewer, { own }: { own: boolean }) {
  const { model, lines, printers } = known
  const printer = own ? (usualOf(printers, viewer) ?? null) : null
  const bottle = own ? viewer.resin : null
  return {
    success: new Map([[id, [...lines]]]),
    pricing: pricingOn(model, viewer.group, { printer, bottle, crowding: 'about full' }),
    exchange: exchangeInto(viewer.group),
    memberships: new Set(own ? offers.filter(({ runs }) => runs).map((offer) => offer.id) : []),
  }
}
