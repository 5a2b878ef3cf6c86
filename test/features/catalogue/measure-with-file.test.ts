import { afterAll, describe, expect, test } from 'vitest'
import { startGroup } from '../../support/app.ts'
import { measureBody } from '../../support/catalogue.ts'
import { aRequest } from '../../support/requests.ts'

const { ada, db, close } = await startGroup()
afterAll(close)

const measured = (over = {}) => JSON.stringify(measureBody(over))
const file = (title: string) => ({ title, 'sculptor.name': 'Marrow Mill', 'revision.label': 'first', standsInFor: '' })
const idIn = (location: unknown) => /\/files\/([0-9a-f-]+)/.exec(String(location))?.[1] ?? ''
const isThere = async (title: string) =>
  (await db.selectFrom('file').select('id').where('title', '=', title).execute()).length > 0

describe('a file that is measured in the form that adds it', () => {
  test('has its shadow, height and resin from the first', async () => {
    const added = await ada.submit('/files/new', { ...file('Bell Carriers'), measured: measured(), measuredWith: '' })
    expect(added.statusCode).toBe(303)
    const found = (await ada.get(`/files/${idIn(added.headers.location)}`)).json()
    expect(found).toMatchObject({ heightMm: 36, resinMl: 4.1, shadow: { widthMm: 24 } })
    expect(found.measures).toMatchObject([{ supportSetId: null }])
  })

  test('has the supports that it was measured with, whether they were ticked or not', async () => {
    for (const [title, ticked] of [
      ['Bell Ringers', {}],
      ['Bell Founders', { 'revision.supportKinds': 'as supplied' }],
    ] as const) {
      const form = { ...file(title), ...ticked, measured: measured(), measuredWith: 'as supplied' }
      const { headers } = await ada.submit('/files/new', form)
      const { revisions, measures } = (await ada.get(`/files/${idIn(headers.location)}`)).json()
      expect(revisions[0].supportSets).toMatchObject([{ kind: 'as supplied' }])
      expect(measures).toMatchObject([{ supportSetId: revisions[0].supportSets[0].id }])
    }
  })

  test('is not there by half: what cannot be kept comes back with all that was typed', async () => {
    for (const [title, over, words] of [
      ['Half A', { measured: measured({ volumeMl: 99 }) }, 'more than fits into a box of this size'],
      ['Half B', { measured: 'solid' }, 'These numbers can’t be read'],
      ['Half C', { measured: measured(), 'revision.label': '' }, 'Enter a label for the revision'],
    ] as const) {
      const refused = await ada.submit('/files/new', { ...file(title), ...over })
      expect(refused.statusCode).toBe(422)
      expect(refused.body).toContain(words)
      expect(refused.body).toContain(`value="${title}"`)
      expect(await isThere(title)).toBe(false)
    }
  })

  test('can be proposed with its measure, in one form', async () => {
    const { id } = await aRequest(ada)
    const fields = { 'file.title': 'Bell Wardens', 'file.sculptor.name': 'Marrow Mill', 'file.revision.label': 'first' }
    const offer = {
      'file.offer.kind': 'purchase',
      'file.offer.price.amount': '9.00',
      'file.offer.price.currency': 'EUR',
    }
    const url = `/requests/${id}/propose/new`
    const refused = await ada.submit(url, { ...fields, ...offer, measured: measured({ heightMm: 0 }) })
    expect(refused.statusCode).toBe(422)
    expect(await isThere('Bell Wardens')).toBe(false)
    const done = await ada.submit(url, { ...fields, ...offer, measured: measured(), measuredWith: 'own supports' })
    expect(done.statusCode, done.body).toBe(303)
    const [answer] = (await ada.get(`/requests/${id}/answers`)).json().items
    expect(answer.file).toMatchObject({ heightMm: 36, shadow: { heightMm: 36 } })
    expect(answer.resinMl).toEqual({ perCopy: 4.1, assumed: false })
  })
})
