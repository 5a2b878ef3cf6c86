import { request as ask } from 'node:http'
import type { AddressInfo } from 'node:net'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { mostADay } from '../../server/features/printing/pictures/rules.ts'
import type { PictureStore } from '../../server/features/printing/pictures/store.ts'
import { temporaryStore } from '../../server/features/printing/pictures/stores.ts'
import { type Person, startGroup } from '../support/app.ts'
import { fieldsOf } from '../support/forms.ts'
import { aJpeg, asFile, multipart, sendPictures } from '../support/pictures.ts'
import { aPrintable, aPrinter, aReport, plateForm } from '../support/printing.ts'
import { until } from '../support/until.ts'

/** A store that counts how many wait for it at a time: so many bodies are in memory. While `held`, it keeps nothing yet. */
function watched(store: PictureStore) {
  const seen = { now: 0, most: 0, held: Promise.resolve() }
  const put: PictureStore['put'] = async (name, bytes) => {
    seen.now += 1
    seen.most = Math.max(seen.most, seen.now)
    await seen.held
    await store.put(name, bytes).finally(() => {
      seen.now -= 1
    })
  }
  return { store: { ...store, put }, seen }
}

const { store, seen } = watched(temporaryStore())
const logged: string[] = []
let group: Awaited<ReturnType<typeof startGroup>>
beforeAll(async () => {
  group = await startGroup({ pictures: store, logLevel: 'warn', logTo: { write: (line) => logged.push(line) } })
})
afterAll(() => group.close())

test('of a crowd at once few are read at a time, some wait, and the rest are told when to come again', async () => {
  const senders = [group.ada, group.ben, group.odile]
  const reports = await Promise.all(senders.map(async (sender) => ({ sender, id: (await aReport(sender)).id })))
  const bytes = await aJpeg(1200, 900)
  const send = ({ sender, id }: (typeof reports)[number]) =>
    sendPictures(sender, `/api/v1/reports/${id}/photos`, [asFile(bytes)])
  const answers = await Promise.all(reports.flatMap((report) => Array.from({ length: 30 }, () => send(report))))
  const turnedAway = answers.filter(({ statusCode }) => statusCode === 503)
  const kept = answers.filter(({ statusCode }) => statusCode === 201)
  expect(turnedAway.length + kept.length).toBe(3 * 30)
  expect(turnedAway.length).toBeGreaterThan(0)
  expect(kept.length).toBeGreaterThanOrEqual(27)
  expect(seen.most).toBeLessThanOrEqual(3)
  for (const { headers } of turnedAway) expect(headers['retry-after']).toBe('10')
  // And once they are through, the next one is taken.
  for (const report of reports) expect((await send(report)).statusCode).toBe(201)
})

test('a form that is turned away comes back as it was typed, and is kept when it is sent once more', async () => {
  const { ada } = group
  const { fileId, supportSetId } = await aPrintable(ada)
  const { id: printerId } = await aPrinter(ada)
  const of = { printedOn: '2025-06-01', crowding: 'packed', printerId, remark: 'typed with wet gloves' }
  const fields = plateForm(of, { fileId, supports: supportSetId, tried: '3', good: '2' })
  const picture = asFile(await aJpeg())
  const send = (url: string, once: string) => sendPictures(ada, url, [picture], { ...fields, once })

  const { promise, resolve: letGo } = Promise.withResolvers<void>()
  seen.held = promise
  // Of one member's one is read, 8 wait, and none gets further until the store is let go.
  const [reads, waits, sent] = [1, 8, 20]
  const answered: { url: string; status: number; again: unknown; body: string }[] = []
  const all = Array.from({ length: sent }, async (_, index) => {
    const url = index % 2 === 0 ? '/reports/new' : '/reports/new/more'
    const { statusCode: status, headers, body } = await send(url, `crowd-${index}`)
    answered.push({ url, status, again: headers['retry-after'], body })
  })
  await until(async () => answered.length === sent - reads - waits)
  for (const { url, status, again, body } of answered) {
    expect([url, status, again]).toEqual(url.endsWith('more') ? [url, 200, undefined] : [url, 503, '10'])
    expect(fieldsOf(body, '/reports/new')).toMatchObject({
      'prints.0.tried': '3',
      'prints.0.good': '2',
      crowding: 'packed',
      remark: 'typed with wet gloves',
    })
    expect(body).toContain('Send yours again in a moment.')
  }
  // Without a picture nobody waits.
  const { headers } = await sendPictures(ada, '/reports/new', [], { ...fields, once: 'crowd-without' })
  expect(headers.location).toMatch(/^\/plates\//)
  letGo()
  await Promise.all(all)
  expect((await send('/reports/new', 'crowd-once-more')).statusCode).toBe(303)
})

/** Sends the first half of a picture. @returns what ends it */
async function halfAPicture(sender: Person, path: string): Promise<() => void> {
  const { port } = group.app.server.address() as AddressInfo
  const { payload, headers } = multipart({}, [asFile(await aJpeg(1200, 900))])
  const whole = {
    ...headers,
    cookie: sender.cookie ?? '',
    'sec-fetch-site': 'same-origin',
    'content-length': payload.length,
  }
  const call = ask({ port, host: '127.0.0.1', method: 'POST', path, headers: whole })
  call.on('error', () => {})
  await new Promise((done) => call.write(payload.subarray(0, payload.length / 2), done))
  return () => call.destroy()
}

test('whoever breaks off in the middle holds nobody up', async () => {
  const { app, ben } = group
  await app.listen({ port: 0, host: '127.0.0.1' })
  const path = `/api/v1/reports/${(await aReport(ben)).id}/photos`
  for (let time = 0; time < 9; time++) (await halfAPicture(ben, path))()
  expect((await sendPictures(ben, path, [asFile(await aJpeg())])).statusCode).toBe(201)
})

test('whoever breaks off while it is read is logged as refused, not as a failure of the service', async () => {
  const { app, ben } = group
  const path = `/api/v1/reports/${(await aReport(ben)).id}/photos`
  const isRead = new Promise((done) => app.server.once('request', (request) => request.once('resume', done)))
  const end = await halfAPicture(ben, path)
  await isRead
  logged.length = 0
  end()
  await until(() => logged.length > 0)
  expect(JSON.parse(logged[0] ?? '')).toMatchObject({ level: 40, status: 400 })
})

test('whoever sends many and none to its end keeps nobody else from sending theirs', async () => {
  const { ada, ben, app } = group
  const [slow, quick] = [(await aReport(ben)).id, (await aReport(ada)).id]
  const begun = { now: 0 }
  app.server.on('request', () => {
    begun.now += 1
  })
  const ends = await Promise.all(Array.from({ length: 30 }, () => halfAPicture(ben, `/api/v1/reports/${slow}/photos`)))
  await until(() => begun.now >= ends.length)
  // All that can be read at once, and all places to wait in, would be taken.
  expect((await sendPictures(ada, `/api/v1/reports/${quick}/photos`, [asFile(await aJpeg())])).statusCode).toBe(201)
  for (const end of ends) end()
})

test('a body without a length is broken off where it gets too long', async () => {
  const { app, ben } = group
  const { port } = app.server.address() as AddressInfo
  const { headers } = multipart({}, [])
  const call = ask({
    port,
    host: '127.0.0.1',
    method: 'POST',
    path: '/reports/new',
    headers: { ...headers, cookie: ben.cookie ?? '', 'sec-fetch-site': 'same-origin' },
  })
  const ended = new Promise((done) => call.on('error', done).on('response', done))
  const part = '------between-the-parts\r\ncontent-disposition: form-data; name="pictures"; filename="a.jpg"\r\n\r\n'
  call.write(part)
  const chunk = Buffer.alloc(1024 ** 2)
  let sent = 0
  const more = () => {
    while (sent < 200 && !call.destroyed) if (!call.write(chunk, () => sent++)) return void call.once('drain', more)
  }
  more()
  await ended
  expect(sent).toBeLessThan(200)
})

test('pictures that wait to be cut anew keep nobody from the database', async () => {
  const { ada, ben } = group
  const { id: report } = await aReport(ada)
  const sent = await sendPictures(ada, `/api/v1/reports/${report}/photos`, [asFile(await aJpeg())])
  const [{ id, version }] = sent.json().items
  const { promise: held, resolve: letGo } = Promise.withResolvers<void>()
  const { get } = store
  let waiting = 0
  store.get = async (name) => {
    waiting += 1
    await held
    return get(name)
  }
  // As many as a pool has connections; the embedded database has one.
  const crop = { 'crop.left': '10', 'crop.top': '0', 'crop.right': '0', 'crop.bottom': '0' }
  const edits = Array.from({ length: 10 }, (_, index) =>
    ada.submit(`/pictures/${id}/edit`, { alt: 'Herons', ...crop, version: String(version), once: `cut-${index}` }),
  )
  await until(() => waiting === edits.length)
  expect((await ben.get('/units')).statusCode).toBe(200)
  letGo()
  const statuses = (await Promise.all(edits)).map(({ statusCode }) => statusCode)
  store.get = get
  expect(statuses.toSorted()).toEqual([303, ...Array(9).fill(422)])
})

test('a member sends so many within a day', async () => {
  const { odile, db } = group
  const { id } = await aReport(odile)
  const key = `pictures a day by ${odile.id}`
  await sendPictures(odile, `/api/v1/reports/${id}/photos`, [asFile(await aJpeg())])
  await db.updateTable('attempt').set({ tries: mostADay }).where('key', '=', key).execute()
  const answer = await sendPictures(odile, `/api/v1/reports/${id}/photos`, [asFile(await aJpeg())])
  expect([answer.statusCode, answer.headers['retry-after'] !== undefined]).toEqual([429, true])
})
