import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { member, owner, type Person, startApp } from '../../support/app.ts'
import { made } from '../../support/catalogue.ts'
import { fieldsOf } from '../../support/forms.ts'
import { aPlate, aPrintable, aPrinter, plateForm, reportBody } from '../../support/printing.ts'

const today = '2025-09-20'

let close: () => Promise<void>
let odile: Person
let ada: Person
/** 143 x 89 mm: its room is 146 x 92 = 13,432 mm2, of which a 25 mm round takes 784. */
let printer: { id: string; name: string }
let small: typeof printer
let round: Awaited<ReturnType<typeof aPrintable>>
let oval: typeof round
let unknown: typeof round
let huge: typeof round
beforeAll(async () => {
  const started = await startApp({ now: () => new Date(`${today}T12:00:00Z`) })
  close = started.close
  odile = await owner(started.app)
  ada = await member(odile, 'Ada')
  printer = await aPrinter(ada, { name: 'Boathouse' })
  small = await aPrinter(ada, { name: 'Loft', plateMm: [66, 66] })
  round = await aPrintable(odile, { title: 'Heron Riders', base: { shape: 'round', widthMm: 25 } })
  oval = await aPrintable(odile, { title: 'Eel Levy', base: { shape: 'oval', widthMm: 35, lengthMm: 60 } })
  unknown = await aPrintable(odile, { title: 'Peat Golem' })
  huge = await aPrintable(odile, { title: 'Barge', base: { shape: 'rectangle', widthMm: 90, lengthMm: 150 } })
})
afterAll(() => close())

interface Answered {
  id: string
  version: number
  crowding: string
  crowdingWorkedOut: boolean
}

const body = (over: Parameters<typeof reportBody>[0] & Record<string, unknown>) => ({
  ...reportBody({ supportSetId: round.supportSetId, printerId: printer.id, ...over }),
  ...('crowding' in over ? {} : { crowding: undefined }),
})
const told = ({ crowding, crowdingWorkedOut }: Answered) => [crowding, crowdingWorkedOut]
const report = async (over: Parameters<typeof body>[0]) => made<Answered>(await ada.post('/reports', body(over)))

describe('over REST', () => {
  test.each([
    [8, 'half empty'],
    [9, 'about full'],
  ])('%i copies that nobody says it of are %s', async (tried, crowding) => {
    expect(told(await report({ tried }))).toEqual([crowding, true])
    expect(told(await report({ tried, crowding: null }))).toEqual([crowding, true])
  })

  test('what fits only closer than 3 mm is packed', async () => {
    const tight = await aPrintable(odile, { title: 'Ferry Levy', base: { shape: 'round', widthMm: 28.2 } })
    expect(told(await report({ supportSetId: tight.supportSetId, tried: 12 }))).toEqual(['packed', true])
  })

  test('what the member says stands', async () => {
    const { id, ...answer } = await report({ tried: 8, crowding: 'packed' })
    expect(told({ id, ...answer })).toEqual(['packed', false])
    expect(told((await ada.get(`/reports/${id}`)).json())).toEqual(['packed', false])
  })

  test('all prints of a plate count together, on its own printer', async () => {
    const prints = [
      { supportSetId: round.supportSetId, tried: 6, good: 6 },
      { supportSetId: oval.supportSetId, tried: 2, good: 2 },
    ]
    const plate = (over: Record<string, unknown>) =>
      ada.post('/plates', { printerId: printer.id, printedOn: today, prints, ...over })
    expect(told(made(await plate({})))).toEqual(['about full', true])
    expect(told(made(await plate({ prints: prints.slice(0, 1) })))).toEqual(['half empty', true])
    expect(told(made(await plate({ prints: [{ ...prints[0], tried: 4, good: 4 }], printerId: small.id })))).toEqual([
      'about full',
      true,
    ])
  })

  test('the measured foot print counts before the base', async () => {
    const file = await aPrintable(odile, { title: 'Sedge Walkers', base: { shape: 'round', widthMm: 25 } })
    const measure = { widthMm: 40, depthMm: 40, heightMm: 40 }
    expect((await odile.put(`/revisions/${file.revisionId}/measure`, measure)).statusCode).toBe(200)
    expect(told(await report({ supportSetId: file.supportSetId, tried: 5 }))).toEqual(['about full', true])
    expect(told(await report({ tried: 5 }))).toEqual(['half empty', true])
  })

  test('where it can’t be worked out, the field is named', async () => {
    const refused = async (path: string, sent: Record<string, unknown>) => {
      const answer = await ada.post(path, sent)
      return [answer.statusCode, answer.json().errors]
    }
    const say = (why: string, next = 'Say how full the plate was.') => [
      422,
      [{ path: '/crowding', message: `${why} ${next}` }],
    ]
    expect(await refused('/reports', body({ supportSetId: unknown.supportSetId }))).toEqual(
      say('Nobody has noted what a copy of Peat Golem covers.'),
    )
    expect(await refused('/reports', body({ supportSetId: huge.supportSetId, tried: 1 }))).toEqual(
      say(
        'Going by what is known of the copies, they do not fit on Boathouse.',
        'Check how many there were, or say how full the plate was.',
      ),
    )
    const wet = { printerId: printer.id, printedOn: today, told: false }
    expect(await refused('/plates', wet)).toEqual(say('Nobody knows yet what was on it.'))
    // Whose printer it is, and whether there are such supports, is said first.
    expect((await odile.post('/reports', body({}))).statusCode).toBe(403)
    const [, errors] = await refused('/reports', body({ supportSetId: printer.id }))
    expect(errors).toEqual([{ path: '/supportSetId', message: 'There are no such supports.' }])
  })

  test('a change works it out anew where it was so, or where that is asked for', async () => {
    const change = async ({ id }: { id: string }, sent: Record<string, unknown>) => {
      const answer = await ada.patch(`/reports/${id}`, sent)
      expect(answer.statusCode).toBe(200)
      return told(answer.json())
    }
    const worked = await report({ tried: 8 })
    expect(await change(worked, { tried: 9, good: 9 })).toEqual(['about full', true])
    expect(await change(worked, { remark: 'smelt of marsh' })).toEqual(['about full', true])
    expect(await change(worked, { printerId: small.id, tried: 4, good: 4 })).toEqual(['about full', true])
    expect(await change(worked, { crowding: 'half empty' })).toEqual(['half empty', false])
    expect(await change(worked, { tried: 3, good: 3 })).toEqual(['half empty', false])
    expect(await change(worked, { printerId: printer.id, crowding: null })).toEqual(['half empty', true])
    // What can't be worked out any more stays as it is, unless it is asked for.
    expect(await change(worked, { supportSetId: unknown.supportSetId })).toEqual(['half empty', true])
    expect((await ada.patch(`/reports/${worked.id}`, { crowding: null })).statusCode).toBe(422)
  })
})

describe('the form of a report', () => {
  const formOf = async (file: typeof round) => (await ada.page(`/reports/new?fileId=${file.fileId}&copies=9`)).body
  const print = (file: typeof round, tried = '9') => ({
    fileId: file.fileId,
    supports: file.supportSetId,
    tried,
    good: tried,
  })
  const plate = (over: Record<string, string> = {}) => ({
    printerId: printer.id,
    printedOn: today,
    crowding: '',
    ...over,
  })
  const kept = async ({ headers }: { headers: Record<string, unknown> }) => {
    const id = /^\/plates\/([0-9a-f-]{36})\?/.exec(String(headers.location))?.[1]
    return (await ada.get(`/plates/${id}`)).json()
  }

  test('has it worked out first, says what comes of it, and sends it so', async () => {
    const html = await formOf(round)
    expect(html).toMatch(/<details class="disclosure"><summary>Choose how full it was yourself/)
    expect(html).toContain('Work it out')
    expect(html).toContain('9 copies on the plate of Boathouse: about full, by a base of 25 mm round.')
    const fields = fieldsOf(html, '/reports/new')
    expect(fields.crowding).toBe('')
    const sent = await ada.submit('/reports/new', { ...fields, 'prints.0.good': '9' })
    const { id, ...answer } = await kept(sent)
    expect(told({ id, ...answer })).toEqual(['about full', true])
    expect((await ada.page(`/plates/${id}`)).body).toContain('about full, as worked out')

    // Changed, it goes on being worked out, or is said.
    const path = `/plates/${id}/edit`
    const again = fieldsOf((await ada.page(path)).body, path)
    expect(again.crowding).toBe('')
    await ada.submit(path, { ...again, 'prints.0.tried': '8', 'prints.0.good': '8' })
    expect(told((await ada.get(`/plates/${id}`)).json())).toEqual(['half empty', true])
    const now = fieldsOf((await ada.page(path)).body, path)
    await ada.submit(path, { ...now, crowding: 'packed' })
    expect(told((await ada.get(`/plates/${id}`)).json())).toEqual(['packed', false])
    const said = (await ada.page(path)).body
    expect(fieldsOf(said, path).crowding).toBe('packed')
    expect(said).toMatch(/<details class="disclosure" open><summary>Choose how full it was yourself/)
    expect((await ada.page(`/plates/${id}`)).body).not.toContain('as worked out')
  })

  test('asks whoever prints what nobody can work out, with what they usually do chosen', async () => {
    for (const file of [unknown, huge]) {
      const html = await formOf(file)
      expect(html).not.toContain('Work it out')
      expect(fieldsOf(html, '/reports/new').crowding).toBe('about full')
    }
    const both = plateForm(plate({ remark: 'half typed' }), print(round), print(unknown))
    const refused = await ada.submit('/reports/new', both)
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('href="#form-crowding"')
    expect(refused.body).toContain('Nobody has noted what a copy of Peat Golem covers. Say how full the plate was.')
    expect(fieldsOf(refused.body, '/reports/new')).toMatchObject({ remark: 'half typed', 'prints.1.tried': '9' })
    expect((await ada.submit('/reports/new', { ...both, crowding: 'packed' })).statusCode).toBe(303)
  })

  test('counts a further file on the plate, and one that is told later', async () => {
    const added = await ada.submit('/reports/new/more', { ...plateForm(plate(), print(round, '6')), add: oval.fileId })
    expect(added.body).toContain('from what all the copies cover')
    const counts = { 'prints.0.good': '6', 'prints.1.tried': '2', 'prints.1.good': '2' }
    const sent = await ada.submit('/reports/new', { ...fieldsOf(added.body, '/reports/new'), ...counts })
    expect(told(await kept(sent))).toEqual(['about full', true])

    const noted = await ada.submit('/plates/wet', { printerId: printer.id })
    const wet = await kept(noted)
    expect([wet.told, ...told(wet)]).toEqual([false, 'about full', false])
    const path = `/plates/${wet.id}/edit`
    const typed = await ada.submit(`${path}/more`, {
      ...fieldsOf((await ada.page(path)).body, path),
      add: round.fileId,
    })
    await ada.submit(path, { ...fieldsOf(typed.body, path), 'prints.0.tried': '3' })
    expect(told((await ada.get(`/plates/${wet.id}`)).json())).toEqual(['half empty', true])
  })
})

test('plates from before were told by their members', async () => {
  const { id } = await aPlate(ada, [{ supportSetId: round.supportSetId }], { printerId: printer.id })
  expect((await ada.get(`/plates/${id}`)).json().crowdingWorkedOut).toBe(false)
})
