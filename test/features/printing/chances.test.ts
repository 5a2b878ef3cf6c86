import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { App } from '../../../server/http/route.ts'
import { member, outsider, owner, type Person, startApp } from '../../support/app.ts'
import { aFile } from '../../support/catalogue.ts'
import { refitHere } from '../../support/kept.ts'
import { aPrintable, aPrinter, aReport } from '../../support/printing.ts'

const nowhere = '0190a000-0000-7000-8000-000000000000'

interface Outlook {
  crowding: string
  plates: number
  perPlate: number[]
  allGood: number
  expectedFailures: number
  toPrint: number
}

describe('will it print on mine', () => {
  let app: App
  let close: () => Promise<void>
  let ada: Person
  let ben: Person
  let cleo: Person
  let fileId: string
  let good: { id: string; name: string }
  let worn: { id: string; name: string }
  beforeAll(async () => {
    // Not so long after its prints that a printer would want a look for that alone.
    const started = await startApp({ now: () => new Date('2025-06-10T12:00:00Z') })
    ;({ app, close } = started)
    const odile = await owner(app)
    ada = await member(odile, 'Ada')
    ben = await member(odile, 'Ben')
    cleo = await member(odile, 'Cleo')
    good = await aPrinter(ada, { name: 'Larder' })
    worn = await aPrinter(ada, { name: 'Cellar' })
    const made = await aPrintable(ada)
    fileId = made.fileId
    const other = await aPrintable(ada)
    await aReport(ben, { printedOn: '2025-06-01' })
    for (let plate = 0; plate < 6; plate++) {
      await aReport(ada, { supportSetId: made.supportSetId, printerId: good.id, printedOn: '2025-06-01' })
      // Half of it is what the other one prints well, so it is this machine.
      await aReport(ada, {
        supportSetId: plate % 2 === 0 ? other.supportSetId : made.supportSetId,
        printerId: worn.id,
        printedOn: '2025-06-02',
        failures: [{ seen: 'one side of the plate only', copies: 3 }],
      })
    }
    await refitHere(started.db)
  })
  afterAll(() => close())

  const ask = async (query: string) => (await ada.get(`/files/${fileId}/chances?${query}`)).json()

  test('six on one packed plate against three and three on two half-empty ones is a number', async () => {
    const packed = await ask(`copies=6&crowding=packed&printerId=${good.id}`)
    expect(packed).toMatchObject({ copies: 6, plates: 1, perPlate: [6], kind: 'as supplied' })
    expect(packed.printer).toEqual({ id: good.id, name: 'Larder' })
    const emptier = await ask(`copies=6&plates=2&crowding=half%20empty&printerId=${good.id}`)
    expect(emptier.perPlate).toEqual([3, 3])
    expect(emptier.allGood).toBeGreaterThan(packed.allGood + 0.1)
    expect(emptier.expectedFailures).toBeLessThan(packed.expectedFailures)
    // Nobody told how full these are: three foot models' bases take a good quarter of the plate's room.
    const found = packed.others.find((one: Outlook) => one.plates === 2)
    expect(found).toMatchObject({
      workedOut: true,
      crowding: 'half empty',
      plates: 2,
      perPlate: [3, 3],
      allGood: emptier.allGood,
      expectedFailures: emptier.expectedFailures,
      toPrint: emptier.toPrint,
    })
    expect(packed.others.map((one: Outlook) => one.plates)).toEqual([1, 2, 3])
    expect(packed).toMatchObject({ workedOut: false, plateMm: [143, 89] })
    expect(packed.packed).toHaveLength(6)
    expect(emptier.packed).toHaveLength(3)
    expect(emptier.toPrint).toBeGreaterThanOrEqual(6)
    expect(packed.toPrint).toBeGreaterThan(emptier.toPrint)
  })

  test("the caller's printer makes the difference; without one it is a machine in good order", async () => {
    const [onGood, onWorn, onAny] = [
      await ask(`copies=4&printerId=${good.id}`),
      await ask(`copies=4&printerId=${worn.id}`),
      await ask('copies=4'),
    ]
    expect(onWorn.allGood).toBeLessThan(onGood.allGood - 0.2)
    expect(onAny.printer).toBeNull()
    expect(onAny.crowding).toBe('half empty')
    // In good order is after upkeep, not the middle of machines of which one is worn.
    expect(onAny.allGood).toBeGreaterThan(onWorn.allGood + 0.2)
    expect(onAny.toPrint).toBeLessThan(onWorn.toPrint)
  })

  test('one copy: what comes out and what fails add to one', async () => {
    const one = await ask('copies=1')
    expect(one.allGood + one.expectedFailures).toBeCloseTo(1, 9)
    expect(one.others).toHaveLength(1)
  })

  test.each([
    ['copies=0', '/copies'],
    ['copies=1.5', '/copies'],
    ['copies=many', '/copies'],
    ['copies=101', '/copies'],
    ['copies=3&plates=4', '/plates'],
    ['copies=3&plates=0', '/plates'],
    ['copies=3&crowding=heaped', '/crowding'],
    ['copies=3&printerId=mine', '/printerId'],
    [`copies=3&printerId=${nowhere}`, '/printerId'],
    ['copies=3&kind=own%20supports', '/kind'],
  ])('%j is refused at %s', async (query, path) => {
    const answer = await ada.get(`/files/${fileId}/chances?${query}`)
    expect(answer.statusCode).toBe(422)
    expect(answer.json().errors[0].path).toBe(path)
  })

  test('an unknown file is not found, and it is for members', async () => {
    expect((await ada.get(`/files/${nowhere}/chances?copies=3`)).statusCode).toBe(404)
    expect((await outsider(app).get(`/files/${fileId}/chances?copies=3`)).statusCode).toBe(401)
  })

  test('the page answers at once for the usual printer, and for whatever is asked', async () => {
    const first = (await ada.page(`/files/${fileId}`)).body
    expect(first).toContain('Will it print on mine?')
    expect(first).toContain('All 6 copies on one plate that is about full come out good in ')
    expect(first).toContain('On Larder as it is now, with')
    const asked = `/files/${fileId}?copies=6&plates=2&crowding=packed&printerId=${worn.id}`
    const page = (await ada.page(asked)).body
    expect(page).toContain('All 6 copies on 2 packed plates come out good in ')
    expect(page).toContain('3 + 3 on two plates')
    expect(page).toMatch(/To have 6 good ones in 9 cases out of 10, print \d+\./)
    expect(page).toContain(', as in the form')
    // The printer that was chosen wants a look before the next plate.
    expect(page).toMatch(/Check <a [^>]*>Cellar<\/a> before the next plate/)
    expect(first).not.toMatch(/before the next plate/)
  })

  test('the page says what is wrong with the question, and keeps it', async () => {
    const page = await ada.page(`/files/${fileId}?copies=2&plates=5&crowding=about%20full&printerId=`)
    expect(page.statusCode).toBe(200)
    expect(page.body).toContain('No more plates than copies.')
    expect(page.body).toContain('value="5"')
    expect((await ada.page(`/files/${fileId}?copies=x&copies=y&kind=none`)).statusCode).toBe(200)
  })

  test('no copies are one thing to mend, told before an answer that nobody asked for', async () => {
    for (const copies of ['', '0', '101']) {
      const { body } = await ada.page(`/files/${fileId}?copies=${copies}&plates=1&crowding=about%20full&printerId=`)
      expect(body, copies).toContain('One thing to correct before it can be worked out')
      expect(body, copies).not.toContain('chances-answer')
    }
    const answer = await ada.get(`/files/${fileId}/chances?copies=0`)
    expect(answer.json().errors).toEqual([{ path: '/copies', message: 'At least 1.' }])
  })

  test('says so where hardly any try brings them all', async () => {
    const asked = `/files/${fileId}?copies=100&plates=20&crowding=packed&printerId=${worn.id}`
    const chances = await ask(`copies=100&plates=20&crowding=packed&printerId=${worn.id}`)
    expect(chances.allGood).toBeLessThan(0.005)
    expect((await ada.page(asked)).body).toContain(
      'All 100 copies on 20 packed plates come out good in fewer than 1 of 100 tries; on average ',
    )
  })

  test('names the supports, and one copy, as one would', async () => {
    const revision = { label: 'first', supportKinds: ['own supports'] }
    const own = await aFile(ada, { revision })
    const page = (await cleo.page(`/files/${own.id}?copies=1&plates=1&crowding=about%20full`)).body
    expect(page).toContain('On a machine in good order, as after upkeep, with own supports.')
    expect(page).toContain('One copy on one plate that is about full comes out good in ')
    expect(page).not.toContain('share their fate')
  })

  test('as many plates as it takes are compared, the cheapest is said first, and what does not fit is said', async () => {
    const large = await aFile(ada, { base: { shape: 'round', widthMm: 60 }, heightMm: 50 })
    const { others, packed, plates } = (
      await ada.get(`/files/${large.id}/chances?copies=6&plates=1&printerId=${good.id}`)
    ).json()
    // Two rounds of 60 mm stand on 143 x 89 mm, so six take three plates.
    expect(plates).toBe(1)
    expect(packed).toBeNull()
    expect(others.map((one: Outlook & { packed: unknown[] | null }) => [one.plates, one.packed?.length])).toEqual([
      [1, undefined],
      [3, 2],
      [4, 2],
      [5, 2],
    ])
    const { body } = await ada.page(`/files/${large.id}?copies=6&plates=1&printerId=${good.id}`)
    expect(body).toContain('They do not fit like that on Larder.')
    expect(body).toContain('Cheapest: ')
  })

  test('what was measured counts before the base', async () => {
    const revision = { label: 'first', supportKinds: ['as supplied'] }
    const file = await aFile(ada, { base: { shape: 'round', widthMm: 25 }, revision })
    const measure = { widthMm: 60, depthMm: 50, heightMm: 40, widestLayerMm2: 2700 }
    expect((await ada.put(`/revisions/${file.revisions[0]?.id}/measure`, measure)).statusCode).toBeLessThan(300)
    const chances = (await ada.get(`/files/${file.id}/chances?copies=2&printerId=${good.id}`)).json()
    expect(chances.packed.map((one: { widthMm: number; depthMm: number }) => one.widthMm * one.depthMm)).toEqual([
      3000, 3000,
    ])
    // Its widest layers alone cover more than two fifths of the plate.
    expect(chances.crowding).toBe('packed')
  })

  test('who has no printer is told of a machine in good order, also of a file without supports', async () => {
    const bare = await aFile(ada)
    const page = (await cleo.page(`/files/${bare.id}`)).body
    expect(page).toContain('On a machine in good order, as after upkeep, with supports as supplied.')
    expect(page).not.toContain('On which printer')
  })
})
