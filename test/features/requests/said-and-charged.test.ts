import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { makeDemo } from '../../../db/demo/index.ts'
import type { LineSuccess } from '../../../server/features/evidence/queries.ts'
import { hashPassword } from '../../../server/features/people/members/passwords.ts'
import { cheapestPrint, type Pricing, pricing } from '../../../server/features/requests/answers/price.ts'
import { machineOnNextPlate } from '../../../server/scoring/chances.ts'
import { type Draws, drawsOf, keptOf, summaryOf } from '../../../server/scoring/draws.ts'
import { type Fitted, fitGroup } from '../../../server/scoring/fit.ts'
import { drawsOfMachineInOrder } from '../../../server/scoring/group-draws.ts'
import { seen } from '../../../server/scoring/labels.ts'
import { crowdings } from '../../../server/scoring/model.ts'
import type { Plate } from '../../../server/scoring/plates.ts'
import { printingWords } from '../../../web/parts/answer-words.ts'
import { type Interval, type PrintSuccess, successWords } from '../../../web/parts/success-interval.tsx'
import { outsider, Person, password, startApp } from '../../support/app.ts'
import { refitHere } from '../../support/kept.ts'

/** What an answer says of copies to come, and what it is charged for. */
interface Told {
  wanted: number
  comesOut: Interval
  printSuccess: PrintSuccess
  attemptsPerGood: number
  expectedFailures: number
}

/**
 * So many failures are charged that a share of the copies comes out. It has to be the share that is said, as far as that
 * can be said in tenths, or the words have to tell why more are charged; and it has to lie within what is drawn.
 */
function expectToAgree({ wanted, comesOut, printSuccess, attemptsPerGood, expectedFailures }: Told): void {
  const charged = wanted / (wanted + expectedFailures)
  expect(charged).toBeCloseTo(1 / attemptsPerGood, 9)
  const [, number, of] =
    /bout (\d+) of (10|100) comes? out good on /.exec(successWords({ comesOut, printSuccess })) ?? []
  const said = Number(number) / Number(of)
  const printing = { copies: 1, plates: null, hours: null, resinMl: 1, fits: true, expectedFailures }
  const words = printingWords({ printing, comesOut, wanted })
  // The share of 100 stands beside them, so what it lets expect has to be in them where more are charged.
  const [, asSaid, hundredth, why] =
    /: ([\d.]+) if (\d+) of 100 come out(, many more if it prints worse)/.exec(words) ?? []
  expect(said - charged).toBeGreaterThan(-0.051)
  if (!why) expect(said - charged).toBeLessThan(0.101)
  else {
    const failuresAt = (hundred: number) => wanted * (100 / hundred - 1)
    expect(Number(asSaid)).toBeGreaterThan(failuresAt(Number(hundredth) + 0.5) - 0.051)
    expect(Number(asSaid)).toBeLessThan(failuresAt(Number(hundredth) - 0.5) + 0.051)
    expect(Number(asSaid)).toBeLessThan(expectedFailures)
  }
  expect(charged).toBeGreaterThanOrEqual(comesOut.low)
  expect(charged).toBeLessThanOrEqual(comesOut.high)
  // All in is less than the file alone.
  expect(comesOut.mean).toBeLessThan(printSuccess.mean)
}

describe('what is said of copies to come and what is charged for failures agree', () => {
  const plates: fc.Arbitrary<Plate[]> = fc.array(
    fc
      .record({
        period: fc.integer({ min: 0, max: 2 }),
        crowding: fc.constantFrom(...crowdings),
        line: fc.integer({ min: 0, max: 4 }),
        good: fc.integer({ min: 0, max: 8 }),
        failed: fc.integer({ min: 0, max: 5 }),
        label: fc.constantFrom(...seen),
      })
      .map(({ period, crowding, line, good, failed, label }) => ({
        id: '',
        period: `period ${period}`,
        crowding,
        day: 0,
        prints: [
          {
            line: `line ${line}`,
            sculptor: `sculptor ${line % 2}`,
            good: good + (failed ? 0 : 1),
            failures: failed ? [{ seen: label, copies: failed }] : [],
          },
        ],
      })),
    { minLength: 1, maxLength: 30 },
  )

  test('in every answer of groups with any reports, on a machine in order and on any of theirs', () => {
    fc.assert(
      fc.property(plates, fc.integer({ min: 1, max: 40 }), fc.constantFrom(...crowdings), (some, wanted, crowding) => {
        const fitted = fitGroup(
          some.map((plate, day) => ({ ...plate, id: String(day).padStart(3, '0'), day })),
          { sweeps: 60 },
        )
        for (const machine of machinesOf(fitted)) {
          const terms = pricing({ group: rates, draws: fitted.group, machine, crowding }, null)
          for (const draws of rowsOf(fitted, fitted.lines)) expectToAgree(toldOf(draws, wanted, terms))
        }
      }),
      { numRuns: 30 },
    )
  })

  const rates = {
    resinGramsPerMl: 1.1,
    resinPricePerKgMinor: 3500,
    resinMlPerModel: 10,
    timePerHourMinor: 0,
    cleanUpMinor: 50,
    cleanUpPerPlateMinor: 100,
    perPlateMinor: 100,
  }

  const rowsOf = ({ group }: Fitted, rows: Uint16Array): Draws[] =>
    Array.from({ length: rows.length / group.count }, (_, row) => drawsOf(keptOf(rows, row, group.count)))

  const machinesOf = (fitted: Fitted): Draws[] => [
    drawsOfMachineInOrder(fitted.group),
    ...rowsOf(fitted, fitted.periods).map((machine) => machineOnNextPlate(machine, fitted.group)),
  ]

  function toldOf(draws: Draws, wanted: number, terms: Pricing): Told {
    const figures = { ...summaryOf(draws), draws, comesOut: summaryOf(draws), copies: 1 }
    const line: LineSuccess = {
      kind: 'as supplied',
      supportSetId: null,
      basis: 'sculptor',
      cantTell: false,
      ...figures,
    }
    const print = cheapestPrint({ resinMl: null, foot: null, minutes: 0 }, [line], wanted, terms)
    if (!print) throw new Error('no price')
    return { wanted, comesOut: summaryOf(print.success), printSuccess: line, ...print.cost }
  }
})

describe('in the demo group', async () => {
  const { app, db, close } = await startApp()
  afterAll(close)
  beforeAll(async () => {
    await makeDemo(db, { today: '2026-03-01', passwordHash: await hashPassword(password) })
    await refitHere(db)
  })

  async function signedIn(mailbox: string): Promise<Person> {
    const answer = await outsider(app).post('/sessions', { email: `${mailbox}@demo.example`, password })
    const [cookie] = answer.cookies
    return new Person(app, answer.json().memberId, `${cookie?.name}=${cookie?.value}`)
  }

  type Shown = Omit<Told, 'wanted' | 'expectedFailures'> & { printing: { expectedFailures: number } }

  test.each(['asker', 'printer', 'steward'])(
    'every answer agrees, in general and for %s',
    async (mailbox) => {
      const person = await signedIn(mailbox)
      const requests = await db.selectFrom('request').select('id').execute()
      const units = await db.selectFrom('unit').select('id').execute()
      const asked = [
        ...requests.map(({ id }) => `/requests/${id}/answers`),
        ...units.map(({ id }) => `/units/${id}/answers`),
      ]
      let answers = 0
      for (const path of asked) {
        for (const own of [false, true]) {
          const { wanted, items } = (await person.get(`${path}?own=${own}`)).json() as {
            wanted: number
            items: Shown[]
          }
          for (const { printing, ...told } of items) expectToAgree({ wanted, ...told, ...printing })
          answers += items.length
        }
      }
      expect(answers).toBeGreaterThan(150)
    },
    60_000,
  )

  const caption =
    /<figure class="interval[^"]*">.*?<figcaption>(?<under>.*?)<\/figcaption>|<p class="quiet success-words">(?<open>.*?)<\/p>/gs
  /** In a list the middle alone stands under its mark; its sentence is in the answer unfolded. */
  const mark = /<span class="interval-(mark|ruler).*?<\/small><\/span>/gs
  const all =
    /^(About|Nobody here has printed anything yet\. Usually about) \d+ of (10|100) comes? out good on .+ the file alone /

  test('no sentence about prints leaves a stage out without saying so', async () => {
    const person = await signedIn('asker')
    const pages = [
      ...(await db.selectFrom('request').select('id').execute()).map(({ id }) => `/requests/${id}`),
      ...(await db.selectFrom('unit').select('id').limit(8).execute()).map(({ id }) => `/units/${id}`),
      ...(await db.selectFrom('file').select('id').limit(20).execute()).map(({ id }) => `/files/${id}`),
    ]
    let sentences = 0
    for (const url of pages) {
      const { body } = await person.page(url)
      for (const { groups } of body.matchAll(caption)) {
        expect(groups?.under ?? groups?.open, url).toMatch(all)
        sentences++
      }
      // Outside of these sentences nothing says how many come out, but what is worked out for a plate.
      const rest = body
        .replace(caption, '')
        .replace(mark, '')
        .replace(/<section class="section" id="chances">.*?<\/section>/s, '')
      expect(rest.replace('At least this many of 100 come out', ''), url).not.toMatch(
        /of 100? comes? out|come out good/,
      )
    }
    expect(sentences).toBeGreaterThan(50)
  })
})
