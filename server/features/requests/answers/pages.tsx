import type { StandIn } from '../../../../web/pages/StandInCells.tsx'
import { Unit, UnitLead, UnitSum, wallScale } from '../../../../web/pages/Unit.tsx'
import { UnitDrawing } from '../../../../web/parts/shadow.tsx'
import { mayChange } from '../../../http/access.ts'
import { addressWith } from '../../../http/address.ts'
import { dividedBy } from '../../../http/money.ts'
import { page } from '../../../http/page.tsx'
import { type App, byId, sameUntilWritten } from '../../../http/route.ts'
import { drawnLarge, thinned } from '../../catalogue/measures/drawn.ts'
import { unitWithRequests } from '../requests/queries.ts'
import { filterStandIns, type StandInFilter, standInFilter } from './filter.ts'
import { unitAnswers } from './queries.ts'
import type { Answer, Answers } from './schema.ts'

/** So many stand-ins are on a page. */
const mostShown = 40

/** `/units/:id`: the unit with everything that stands in for it. */
export function answerPages(app: App): void {
  app.get(
    '/units/:id',
    { ...sameUntilWritten, schema: { params: byId, querystring: standInFilter } },
    async ({ db, member, params, query, url }, reply) => {
      const { unit, createdBy, requests, shadow } = await unitWithRequests(db, params.id)
      const own = query.own ? ('true' as const) : ('false' as const)
      const { answers } = await unitAnswers(db, member, unit, { own, looks: query.looks, wanted: query.wanted })
      const standIn = standInOf(answers)
      const found = filterStandIns(answers.items, query, unit)
      const end = query.from + mostShown
      const standIns = found.slice(query.from, end).map(standIn)
      const pxPerMm = wallScale(standIns, unit)
      const props = {
        unit,
        wanted: answers.wanted,
        values: valuesOf(query, answers.wanted),
        standIns: standIns.map((one) => thinned(one, pxPerMm)),
        pxPerMm,
        from: query.from,
        found: found.length,
        next: end < found.length ? `${addressWith(url, 'from', String(end))}#stand-ins` : null,
        known: answers.items.length,
        options: [...new Set(answers.items.flatMap((answer) => answer.file.options))].sort(),
        compared: answers.items
          .filter((one) => query.compare.includes(one.file.id))
          .slice(0, 4)
          .map(standIn),
        requests: requests.map(({ id, wanted, asker }) => ({ id, wanted, asker: { name: asker } })),
      }
      return page(reply, {
        title: unit.name,
        drawing: <UnitDrawing unit={drawnLarge({ ...unit, shadow })} />,
        lead: <UnitLead unit={unit} mayChange={mayChange(member, createdBy)} />,
        sum: <UnitSum unit={unit} boxPerModel={unit.retailPrice && dividedBy(unit.retailPrice, unit.modelsPerUnit)} />,
        children: <Unit {...props} />,
      })
    },
  )
}

const standInOf =
  ({ looksWorth: { currency }, printer, wanted }: Answers) =>
  (answer: Answer): StandIn => ({
    ...answer.file,
    sculptor: answer.file.sculptor.name,
    currency,
    perModel: answer.costToTable && dividedBy(answer.costToTable, wanted),
    costToTable: answer.costToTable,
    badLuckCost: answer.badLuckCost,
    breakdown: answer.breakdown,
    comesOut: answer.comesOut,
    ...(printer && { on: printer.name }),
    printSuccess: answer.printSuccess,
    supportKind: answer.printSuccess.kind,
    votes: answer.votes,
    obtainable: answer.obtainable,
    whyNot: answer.whyNotObtainable,
    stoppedBy: answer.blockedBy.map(snagWords),
    snags: answer.snags.map(snagWords),
  })

const snagWords = ({ kind, part }: { kind: string; part: string }) => (part ? `${kind}, ${part}` : kind)

/** The filter as the values of its form. */
function valuesOf({ said: _, looks: __, from: ___, ...filter }: StandInFilter, wanted: number) {
  const texts = Object.entries({ ...filter, wanted })
    .filter(([, value]) => value !== undefined)
    .map(([name, value]): [string, string | string[]] => [name, Array.isArray(value) ? value : String(value)])
  return Object.fromEntries(texts)
}
