import { sql } from 'kysely'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { startGroup } from '../../support/app.ts'
import { aFile, anOffer, aRevision, aSnag, aUnit } from '../../support/catalogue.ts'
import { aJpeg, asFile, sendPictures } from '../../support/pictures.ts'
import { aPlate, aPrintable, aPrinter, aReport } from '../../support/printing.ts'
import { aProposal, aRequest } from '../../support/requests.ts'
import { aRoster, planned } from '../../support/rosters.ts'

const { db, odile, ada, ben, close } = await startGroup()
afterAll(close)

const anyVersion = { headers: { 'if-match': '*' } }

describe('two units that are the same', () => {
  test('are one: requests, rosters and stand-ins go over, and both names find it', async () => {
    const [old, kept] = [await aUnit(ada, { aliases: ['Dyke Reeves'] }), await aUnit(ben)]
    const request = await aRequest(ada, { unitId: old.id })
    const both = await aFile(ada, { standsInFor: [old.id, kept.id] })
    const one = await aFile(ada, { standsInFor: [old.id] })
    const roster = await aRoster(ada, { text: `6 x ${old.name}` })
    expect((await ada.post(`/units/${old.id}/merge`, { into: kept.id })).statusCode).toBe(403)
    const merged = await odile.post(`/units/${old.id}/merge`, { into: kept.id })
    expect(merged.json()).toMatchObject({ id: kept.id, standIns: 2, aliases: [old.name, 'Dyke Reeves'] })
    expect((await ada.get(`/units/${old.id}`)).statusCode).toBe(404)
    expect((await ada.get(`/requests/${request.id}`)).json().unit.id).toBe(kept.id)
    expect((await ada.get(`/rosters/${roster.id}`)).json().entries[0].unit.id).toBe(kept.id)
    for (const file of [both, one]) expect((await ada.get(`/files/${file.id}`)).json().standsInFor).toEqual([kept.id])
    const found = (await ada.get('/units?q=dyke%20reeves')).json().items
    expect(found.map(({ id }: { id: string }) => id)).toContain(kept.id)
  })

  test('have the base and the box of the one that says them, by which its rosters go on being measured', async () => {
    const box = { amount: '40.00', currency: 'EUR' }
    const base = { shape: 'oval', widthMm: 60, lengthMm: 35 }
    const old = await aUnit(ada, { base, retailPrice: box, modelsPerUnit: 5 })
    const bare = await aUnit(ada, { base: null, retailPrice: null, modelsPerUnit: 1 })
    const roster = await aRoster(ada, { text: `10 x ${old.name}` })
    const boxes = async () => (await ada.get(`/rosters/${roster.id}`)).json().retail.amount
    expect(await boxes()).toBe('80.00')
    await odile.post(`/units/${old.id}/merge`, { into: bare.id })
    expect((await ada.get(`/units/${bare.id}`)).json()).toMatchObject({ base, retailPrice: box, modelsPerUnit: 5 })
    expect(await boxes()).toBe('80.00')

    const other = await aUnit(ada, { retailPrice: { amount: '99.00', currency: 'EUR' }, modelsPerUnit: 1 })
    await odile.post(`/units/${other.id}/merge`, { into: bare.id })
    expect((await ada.get(`/units/${bare.id}`)).json()).toMatchObject({ base, retailPrice: box, modelsPerUnit: 5 })
  })

  test('carry votes, prints and what was paid with them, of units that one roster and one member have twice over', async () => {
    const [old, kept] = [await aUnit(ada), await aUnit(ada)]
    const { fileId, supportSetId } = await aPrintable(ada, { standsInFor: [old.id, kept.id] })
    const offer = await anOffer(ada, fileId, { price: { amount: '9.00', currency: 'EUR' } })
    for (const { id } of [old, kept]) {
      const request = await aRequest(ada, { unitId: id })
      const proposal = await aProposal(ada, request.id, { fileId })
      for (const person of [ada, ben]) await person.put(`/proposals/${proposal.id}/vote`, { wouldField: true })
    }
    const roster = await aRoster(ada, { text: `5 x ${old.name}\n4 x ${kept.name}` })
    await planned(ada, roster.id)
    const bought = await ada.post(`/rosters/${roster.id}/purchases`, { offerId: offer.id })
    expect(bought.statusCode).toBe(201)
    const printerId = (await aPrinter(ada)).id
    for (const { id } of roster.entries) {
      const report = await aReport(ada, { supportSetId, printerId, tried: 3, good: 3 })
      await ada.put(`/rosters/${roster.id}/entries/${id}/reports/${report.id}`)
    }
    const before = (await ada.get(`/rosters/${roster.id}/spend`)).json()
    await odile.post(`/units/${old.id}/merge`, { into: kept.id })

    const { items } = (await ada.get(`/units/${kept.id}/answers`)).json()
    expect(items.map(({ votes }: { votes: { yes: number } }) => votes.yes)).toEqual([2])
    const after = (await ada.get(`/rosters/${roster.id}`)).json()
    expect(after.entries.map(({ unit, state }: { unit: { id: string }; state: object }) => [unit.id, state])).toEqual([
      [kept.id, expect.objectContaining({ printed: 3 })],
      [kept.id, expect.objectContaining({ printed: 3 })],
    ])
    const spend = (await ada.get(`/rosters/${roster.id}/spend`)).json()
    expect([spend.actual, spend.entries, spend.purchases]).toEqual([before.actual, before.entries, before.purchases])
    const plan = await planned(ada, roster.id)
    expect(plan.entries).toMatchObject([
      { fileId, models: 2 },
      { fileId, models: 1 },
    ])
    expect(plan.totals.offers.amount).toBe('0.00')
  })

  test('are two and there: one is not merged with itself, nor with what is not there', async () => {
    const { id } = await aUnit(ada)
    for (const into of [id, ada.id]) {
      const refused = await odile.post(`/units/${id}/merge`, { into })
      expect([refused.statusCode, refused.json().errors[0].path]).toEqual([422, '/into'])
    }
    expect((await odile.post(`/units/${ada.id}/merge`, { into: id })).statusCode).toBe(404)
  })
})

describe('two files that are the same', () => {
  const url = 'https://shelf.example/lanterns'
  const price = (amount: string) => ({ amount, currency: 'EUR' })
  let old: Awaited<ReturnType<typeof aPrintable>>
  let kept: Awaited<ReturnType<typeof aPrintable>>
  let plate: { id: string }
  let requestId: string
  let proposals: { id: string }[]
  let pictures: string[]
  let merged: Record<string, unknown> & { [field: string]: never }

  beforeAll(async () => {
    old = await aPrintable(ada, { heightMm: 41 })
    kept = await aPrintable(ben, { resinMl: 8 })
    const printerId = (await aPrinter(ada)).id
    await aReport(ada, { supportSetId: old.supportSetId, printerId, tried: 4, good: 4 })
    plate = await aPlate(
      ada,
      [
        { supportSetId: old.supportSetId, tried: 3, good: 2, failures: [{ seen: 'supports snapped', copies: 1 }] },
        { supportSetId: kept.supportSetId, tried: 5, good: 3, failures: [{ seen: 'supports snapped', copies: 2 }] },
      ],
      { printerId },
    )
    const printed = plate as unknown as { prints: { id: string; supportSet: { id: string } }[] }
    const print = printed.prints.find(({ supportSet }) => supportSet.id === old.supportSetId)
    pictures = await Promise.all(
      [`/reports/${print?.id}/photos`, `/files/${old.fileId}/photos`].map(async (path) => {
        const answer = await sendPictures(ada, `/api/v1${path}`, [asFile(await aJpeg(60, 40))])
        return answer.json().items[0].id as string
      }),
    )
    await odile.put(`/files/${old.fileId}/face`, { pictureId: pictures[1] })
    const later = await aRevision(ada, old.fileId, { label: 'second' })
    await aSnag(ada, old.fileId, old.revisionId, { part: 'lantern' })
    await aSnag(ben, kept.fileId, kept.revisionId, { part: 'Lantern' })
    const mended = await aSnag(ada, old.fileId, old.revisionId, { part: 'hook' })
    await ada.patch(`/snags/${mended.id}`, { state: 'mended', mendedInRevisionId: later.id })

    const twin = await anOffer(ada, old.fileId, { url, price: price('7.00'), seenOn: '2025-05-01' })
    await anOffer(ben, kept.fileId, { url, price: price('9.00'), seenOn: '2025-04-01' })
    await anOffer(ada, old.fileId, { url: 'https://other.example/lanterns' })

    const { id: request, unit } = await aRequest(ada, { mustHaves: ['lantern', 'hook'] })
    requestId = request
    proposals = [
      await aProposal(ada, requestId, { fileId: old.fileId, covers: ['lantern'], remark: 'The very ones.' }),
      await aProposal(ben, requestId, { fileId: kept.fileId, covers: ['hook'] }),
    ]
    const [ofOld, ofKept] = proposals.map(({ id }) => id)
    await ada.put(`/proposals/${ofKept}/vote`, { wouldField: false })
    await ada.put(`/proposals/${ofOld}/vote`, { wouldField: true })
    await ben.put(`/proposals/${ofOld}/vote`, { wouldField: true })
    await ben.put(`/proposals/${ofKept}/vote`, { wouldField: false })
    for (const id of [old.fileId, kept.fileId]) await ada.put(`/archive/${id}`)
    await ben.put(`/archive/${old.fileId}`)

    const roster = await aRoster(ada, { text: `6 x ${(await ada.get(`/units/${unit.id}`)).json().name}` })
    await planned(ada, roster.id)
    await ada.post(`/rosters/${roster.id}/purchases`, { offerId: twin.id, paid: price('7.00') })
    merged = (await odile.post(`/files/${old.fileId}/merge`, { into: kept.fileId })).json()
  })

  test('have the pictures of both, also of prints that came together, and the chosen face', async () => {
    const { items } = (await ada.get(`/files/${kept.fileId}/photos`)).json()
    expect(items.map(({ id }: { id: string }) => id).toSorted()).toEqual(pictures.toSorted())
    const told = (await ada.get(`/plates/${plate.id}`)).json().prints
    expect(new Set(items.map(({ reportId }: { reportId: string | null }) => reportId))).toEqual(
      new Set([null, told[0].id]),
    )
    expect(items.find(({ isFace }: { isFace: boolean }) => isFace)?.id).toBe(pictures[1])
  })

  test('have the revisions of both, those of one label once, and every print once', async () => {
    const { revisions } = (await ada.get(`/files/${kept.fileId}`)).json()
    expect(revisions.map(({ label }: { label: string }) => label).toSorted()).toEqual(['first release', 'second'])
    const { items } = (await ada.get(`/reports?fileId=${kept.fileId}`)).json()
    expect(items.map(({ tried, good }: { tried: number; good: number }) => [tried, good]).toSorted()).toEqual([
      [4, 4],
      [8, 5],
    ])
    const { prints } = (await ada.get(`/plates/${plate.id}`)).json()
    expect(prints).toHaveLength(1)
    expect(prints[0].failures).toEqual([{ seen: 'supports snapped', copies: 3 }])
  })

  test('have a snag once that was noted of both, and the others too', async () => {
    const snags = (await ada.get(`/files/${kept.fileId}`)).json().snags
    const told = snags.map(({ part, state }: { part: string; state: string }) => `${part}: ${state}`)
    expect(told.toSorted()).toEqual(['Lantern: open', 'hook: mended'])
  })

  test('have an offer once that leads to the same place, at the price seen last; what was paid counts once', async () => {
    const { offers } = (await ada.get(`/files/${kept.fileId}`)).json()
    const prices = offers.map(({ url: to, price: { amount } }: { url: string; price: { amount: string } }) => [
      to,
      amount,
    ])
    expect(prices.toSorted()).toEqual([
      ['https://other.example/lanterns', '9.00'],
      [url, '7.00'],
    ])
    const paid = await sql<{ count: number }>`select count(*)::integer from roster_purchase
      join offer_file using (offer_id) where file_id = ${kept.fileId}`.execute(db)
    expect(paid.rows[0]?.count).toBe(1)
  })

  test('answer a request once, with the later vote of each member', async () => {
    const { items } = (await ada.get(`/requests/${requestId}/answers`)).json()
    expect(items).toHaveLength(1)
    expect(items[0]).toMatchObject({ votes: { yes: 1, no: 1 }, missing: [] })
  })

  test('stand on the shelves of both, and what one did not say the other says', async () => {
    for (const person of [ada, ben]) {
      const { items } = (await person.get('/archive')).json()
      expect(items.map(({ file }: { file: { id: string } }) => file.id)).toContain(kept.fileId)
    }
    expect(merged).toMatchObject({ id: kept.fileId, heightMm: 41, resinMl: 8 })
    expect((await ada.get(`/files/${old.fileId}`)).statusCode).toBe(404)
  })

  test('have the sculptor of the one whose sculptor is known, and the words of the one that has some', async () => {
    const words = { options: ['hook'], styleTags: ['marsh'], licence: 'personal use', remark: 'Stands well.' }
    const known = await aFile(ada, { ...words, formats: ['stl'], sculptor: { name: 'Quill and Bog' } })
    const bare = await aFile(ben, { sculptor: {}, licence: 'for oneself' })
    const same = (title: string) => aFile(ben, { title, sculptor: { name: 'Quill and Bog' } })
    const merge = async (from: string, into: string) =>
      (await odile.post(`/files/${from}/merge`, { into })).json() as typeof merged
    const one = await merge(known.id, bare.id)
    expect(one).toMatchObject({ ...words, formats: ['stl'], licence: 'for oneself', sculptor: known.sculptor })
    // Not where that sculptor has a file of this title besides.
    const [own, twin] = [await aFile(ben, { sculptor: {} }), await same('Reed Bells')]
    const [title, sculptor] = [own.title.toUpperCase(), own.sculptor]
    await same(title)
    expect(await merge(twin.id, own.id)).toMatchObject({ sculptor })
    // A known sculptor stays, whoever the other is.
    const other = await aFile(ben)
    expect(await merge((await aFile(ben, { sculptor: {} })).id, other.id)).toMatchObject({ sculptor: other.sculptor })
  })

  test('are not merged where that would show whom somebody asked not to name', async () => {
    const hidden = await aFile(odile, { sculptor: { name: 'Wick Hollow', credit: 'unnamed' } })
    const open = await aFile(ada)
    expect((await odile.post(`/files/${hidden.id}/merge`, { into: open.id })).statusCode).toBe(409)
  })
})

describe('two sculptors who are the same', () => {
  const sculptorOf = async (fileId: string) => (await odile.get(`/files/${fileId}`)).json().sculptor.id

  test('have the files of both, and the wish of either not to be named', async () => {
    const [one, other] = [
      await aFile(odile, { sculptor: { name: 'Sallow Bank', credit: 'unnamed' } }),
      await aFile(ada),
    ]
    const [from, into] = [await sculptorOf(one.id), await sculptorOf(other.id)]
    const merged = (await odile.post(`/sculptors/${from}/merge`, { into })).json()
    expect(merged).toMatchObject({ id: into, credit: 'unnamed', files: 2 })
    expect((await ben.get(`/files/${other.id}`)).json().sculptor).toMatchObject({ name: null })
  })
})

describe('what was added by mistake', () => {
  test('is removed by whoever added it or a steward, while nobody uses it', async () => {
    const [unit, file] = [await aUnit(ada), await aFile(ada, { offer: { kind: 'free' }, revision: { label: 'one' } })]
    const used = await aPrintable(ada)
    await aReport(ben, { supportSetId: used.supportSetId, printerId: (await aPrinter(ben)).id })
    expect((await ben.delete(`/units/${unit.id}`, anyVersion)).statusCode).toBe(403)
    expect((await ada.delete(`/files/${used.fileId}`)).statusCode).toBe(409)
    await aSnag(ben, file.id, file.revisions[0]?.id ?? '')
    expect((await ada.delete(`/files/${file.id}`)).statusCode).toBe(409)
    expect((await odile.delete(`/files/${file.id}`, anyVersion)).statusCode).toBe(204)
    expect((await ada.get(`/offers/${file.offers[0]?.id}`)).statusCode).toBe(404)
    const request = await aRequest(ada, { unitId: unit.id })
    expect((await ada.delete(`/units/${unit.id}`)).statusCode).toBe(409)
    await odile.post(`/units/${unit.id}/merge`, { into: (await aUnit(ada)).id })
    expect((await ada.get(`/requests/${request.id}`)).statusCode).toBe(200)
    const idle = await aUnit(ada)
    expect((await ada.delete(`/units/${idle.id}`)).statusCode).toBe(204)
    expect((await ada.get(`/units/${idle.id}`)).statusCode).toBe(404)
  })

  test('by page: merged from its form, or removed', async () => {
    const [old, kept] = [await aUnit(ada, { name: 'Sedge Guard' }), await aUnit(ada, { name: 'Sedge Guards' })]
    expect((await odile.page(`/units/${old.id}/edit`)).body).toContain(`/units/${old.id}/merge`)
    expect((await ada.page(`/units/${old.id}/edit`)).body).not.toContain(`/units/${old.id}/merge`)
    const asked = (await odile.page(`/units/${old.id}/merge`)).body
    expect(asked).toContain(`value="${kept.id}"`)
    const refused = await odile.submit(`/units/${old.id}/merge`, { q: 'Sedge' })
    expect([refused.statusCode, refused.body.includes('value="Sedge"')]).toEqual([422, true])
    const done = await odile.submit(`/units/${old.id}/merge`, { into: kept.id })
    expect(done.headers.location).toContain(`/units/${kept.id}`)
    const removed = await ada.submit(`/units/${kept.id}/remove`, { version: '2' })
    expect([removed.statusCode, removed.headers.location]).toEqual([303, '/units?said=removed'])
  })
})
