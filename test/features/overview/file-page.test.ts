import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type Person, startGroup } from '../../support/app.ts'
import { aMeasure, anOffer, aRevision, aSnag, aUnit } from '../../support/catalogue.ts'
import { refitHere } from '../../support/kept.ts'
import { aPrintable, aPrinter, aReport, aResin } from '../../support/printing.ts'
import { aProposal, aRequest } from '../../support/requests.ts'

const { db, ada, ben, close } = await startGroup()
afterAll(close)

const wordsOf = (html: string) => html.replace(/<[^>]*>/g, ' ').replace(/\s+/g, ' ')

interface Answer {
  file: { id: string }
  costToTable: { amount: string } | null
  badLuckCost: { amount: string } | null
  breakdown: Record<string, string | null>
}

/** The amounts at the head of a file's page, without the sign of the currency: first the large one. */
async function headOf(person: Person, fileId: string): Promise<string[]> {
  const { body } = await person.page(`/files/${fileId}`)
  const [, head = ''] = /<div class="head-sum">(.*?)<\/div>/s.exec(body) ?? []
  return [...head.matchAll(/<span class="money">€([\d.]+)<\/span>/g)].map(([, amount]) => amount ?? '')
}

async function answerOf(person: Person, path: string, fileId: string): Promise<Answer> {
  const { items } = (await person.get(path)).json<{ items: Answer[] }>()
  const found = items.find(({ file }) => file.id === fileId)
  if (!found) throw new Error(`${path} has no such answer`)
  return found
}

const perModel = (amount: string | undefined, models: number) =>
  (Math.round(Math.round(100 * Number(amount)) / models) / 100).toFixed(2)

describe('what a file costs to the table, on its page', () => {
  let one: { id: string }
  let ten: { id: string }
  beforeAll(async () => {
    one = await aUnit(ada, { modelsPerUnit: 1 })
    ten = await aUnit(ada, { modelsPerUnit: 10 })
    await aPrinter(ada, { plateMm: [130, 80] })
    await aResin(ada, { price: { amount: '17.30', currency: 'EUR' }, bottleMl: 400, gramsPerMl: 1.17 })
  })

  /** A file that is printed, measured, dear enough to be seen, and has a snag that takes time. */
  async function aKnownFile(unitId: string) {
    const on = await aPrintable(ada, {
      standsInFor: [unitId],
      resinMl: 14.2,
      base: { shape: 'round', widthMm: 32 },
    })
    await aMeasure(ada, `/revisions/${on.revisionId}`, { widthMm: 41, depthMm: 23 })
    await anOffer(ada, on.fileId, { price: { amount: '7.40', currency: 'EUR' } })
    await anOffer(ada, on.fileId, { price: { amount: '3.00', currency: 'EUR' }, state: 'withdrawn' })
    await aSnag(ada, on.fileId, on.revisionId, { severity: 'costs time', minutes: 25 })
    await aReport(ben, { supportSetId: on.supportSetId, failures: [{ seen: 'supports snapped', copies: 2 }] })
    await refitHere(db)
    return on
  }

  test('is the answer’s number where a request asks for one of a unit of one', async () => {
    const { fileId } = await aKnownFile(one.id)
    const request = await aRequest(ada, { unitId: one.id, wanted: 1 })
    await aProposal(ben, request.id, { fileId })
    const answer = await answerOf(ada, `/requests/${request.id}/answers`, fileId)
    expect(Number(answer.breakdown.price)).toBe(7.4)
    expect(await headOf(ada, fileId)).toEqual([answer.costToTable?.amount])
    const page = wordsOf((await ada.page(`/files/${fileId}`)).body)
    expect(page).toContain(`to the table €${answer.costToTable?.amount} `)
    expect(page).toContain(`9 in 10 do no worse than €${answer.badLuckCost?.amount} `)
  })

  test('of a unit of ten it is a model’s share as on the unit’s wall, whoever has it', async () => {
    const { fileId } = await aKnownFile(ten.id)
    const wall = await answerOf(ada, `/units/${ten.id}/answers`, fileId)
    await ada.put(`/archive/${fileId}`)
    expect(await headOf(ada, fileId)).toEqual([perModel(wall.costToTable?.amount, 10)])
  })

  test('and as many copies as the unit has models are asked for first, until somebody asks otherwise', async () => {
    const { fileId } = await aPrintable(ada, { standsInFor: [ten.id] })
    const at = async (query: string) => wordsOf((await ada.page(`/files/${fileId}${query}`)).body)
    const said = /Enough for one unit: /
    expect(await at('')).toMatch(said)
    expect(await at('')).toContain('All 10 copies on ')
    const other = await at('?copies=3&plates=1')
    expect(other).toContain('All 3 copies on ')
    expect(other).not.toMatch(said)
  })

  test('of what cannot be had only printing is told, and why', async () => {
    const on = await aPrintable(ada, { standsInFor: [one.id] })
    const { body } = await ada.page(`/files/${on.fileId}`)
    expect(wordsOf(body)).toContain('not to be had; printing a model €')
    expect(wordsOf(body)).toContain('Nobody has noted an offer yet.')
  })
})

describe('on a file’s page', () => {
  test('the unit’s base is drawn around its own, and told where it differs', async () => {
    const unit = await aUnit(ada, { base: { shape: 'round', widthMm: 40 } })
    const same = await aUnit(ada, { base: { shape: 'round', widthMm: 32 } })
    const at = async (standsInFor: string[]) => {
      const { fileId } = await aPrintable(ada, { standsInFor, base: { shape: 'round', widthMm: 32 } })
      return (await ben.page(`/files/${fileId}`)).body
    }
    const small = await at([unit.id])
    expect(small).toMatch(/shadow-base-unit" cx="0" cy="0" rx="20"/)
    expect(small).toContain('it is 8 mm too small. ')
    expect(await at([same.id])).toContain('It fits the base of ')
    expect(await at([])).not.toContain('shadow-base-unit')
  })

  test('of many reports the latest stand open, the others fold, none twice', async () => {
    const { fileId, supportSetId } = await aPrintable(ada)
    const parts = async () => {
      const { body } = await ben.page(`/files/${fileId}`)
      const [, section = ''] = /id="reports">(.*?)<\/section>/s.exec(body) ?? []
      const [open = '', folded = ''] = section.split('<details')
      return [open, folded].map((part) => [...part.matchAll(/href="(\/reports\/[^"?]+)"/g)].map(([, to]) => to))
    }
    for (let one = 0; one < 5; one++) await aReport(ada, { supportSetId })
    expect((await parts()).map((reports) => reports.length)).toEqual([5, 0])
    await aReport(ada, { supportSetId })
    const [open = [], folded = []] = await parts()
    expect([open.length, folded.length, new Set([...open, ...folded]).size]).toEqual([4, 2, 6])
  })

  test('one ruler carries every support set of every revision', async () => {
    const { fileId, supportSetId } = await aPrintable(ada, {
      revision: { label: 'old', releasedOn: '2025-03-01', supportKinds: ['as supplied', 'extra supports'] },
    })
    await aRevision(ada, fileId, { label: 'new', releasedOn: '2025-05-15', supportKinds: ['as supplied'] })
    await aRevision(ada, fileId, { label: 'bare', releasedOn: '2025-05-20' })
    const failures = [{ seen: 'supports snapped', copies: 3 }]
    await aReport(ada, { supportSetId, printedOn: '2025-04-02', failures })
    await aReport(ada, { supportSetId, printedOn: '2025-06-11', failures: [{ seen: 'stuck to the film', copies: 1 }] })
    await refitHere(db)
    const { body } = await ben.page(`/files/${fileId}`)
    const [, section = ''] = /id="revisions">(.*?)<\/section>/s.exec(body) ?? []
    expect(section.match(/class="interval-ruler"/g)).toHaveLength(1)
    const [, ...lines] = section.split('<tr').slice(1)
    expect(lines.map((line) => wordsOf(`<${line}`).trim().split(/,/)[0])).toEqual([
      'no supports noted yet of bare',
      'as supplied of new',
      'as supplied of old',
      'extra supports of old',
    ])
    const [bare = '', current = '', past = '', extra = ''] = lines
    expect(bare).not.toContain('interval-mark')
    // The newest of its kind says what to expect, what it replaced only what came off, which the newest has nothing of.
    expect(current).toContain('interval-dot')
    expect(current).not.toContain('interval-counted')
    expect(past).toContain('interval-counted')
    expect(past).not.toContain('interval-dot')
    expect(wordsOf(past)).toContain('8 of 12 good on 2 plates')
    expect(extra).toContain('interval-dot')
    // Over time: two months, and both revisions that came out between them.
    expect(section.match(/<circle class="prints-dot prints-dot-earlier"/g)).toHaveLength(2)
    expect(section).toContain('Apr 2025, old: 3 of 6 good, 50 of 100. Jun 2025, old: 5 of 6 good, 83 of 100.')
    expect(section.match(/class="upkeep-mark"/g)).toHaveLength(2)
    const placesOf = (name: string) =>
      [...section.matchAll(new RegExp(`class="${name}"[^>]*? (?:cx|x1)="([\\d.]+)%"`, 'g'))].map(([, at]) => Number(at))
    const [april = 0, june = 0] = placesOf('prints-dot prints-dot-earlier')
    const [first = 0, second = 0] = placesOf('upkeep-mark')
    // 2 April, 15 and 20 May, 11 June: each as far along as its day.
    expect((first - april) / (june - april)).toBeCloseTo(43 / 70, 2)
    expect((second - april) / (june - april)).toBeCloseTo(48 / 70, 2)
  })
})
