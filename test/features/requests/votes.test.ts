import { sql } from 'kysely'
import { afterAll, describe, expect, test } from 'vitest'
import { fieldShare, groupShareOf } from '../../../server/features/requests/votes/rules.ts'
import { outsider, startGroup } from '../../support/app.ts'
import { aProposal, aRequest } from '../../support/requests.ts'

describe('the share that would field a file', () => {
  test('is the plus-four estimate where the group is of two minds', () => {
    // Agresti & Coull (1998), The American Statistician 52: 0 of 10 gives 2/14.
    expect(fieldShare(0, 10, 0.5)).toBeCloseTo(2 / 14, 15)
    expect(groupShareOf(0, 10)).toBeCloseTo(2 / 14, 15)
    expect(fieldShare(30, 2, 0.5)).toBeGreaterThan(fieldShare(1, 0, 0.5))
  })

  test("starts from the group's own share, as four votes", () => {
    expect(fieldShare(0, 0, 0.7)).toBeCloseTo(0.7, 15)
    // (11 + 4 x .65) / (13 + 4)
    expect(fieldShare(11, 2, 0.65)).toBeCloseTo(0.8, 15)
  })

  test('takes whole counts only', () => {
    for (const [yes, no] of [
      [-1, 0],
      [0, 1.5],
      [Number.NaN, 0],
    ] as const)
      expect(() => fieldShare(yes, no, 0.5)).toThrow(RangeError)
  })
})

const { app, db, ada, ben, close } = await startGroup()
afterAll(close)

describe('votes', () => {
  test('a second vote of the same member replaces the first', async () => {
    const { id } = await aProposal(ada, (await aRequest(ada)).id)
    await ben.put(`/proposals/${id}/vote`, { wouldField: false })
    const tally = await ben.put(`/proposals/${id}/vote`, { wouldField: true })
    expect(tally.json()).toMatchObject({ yes: 1, no: 0, mine: true })
    expect((await ada.get(`/proposals/${id}`)).json().votes).toMatchObject({ yes: 1, no: 0, mine: null })
    expect((await ben.delete(`/proposals/${id}/vote`)).json()).toMatchObject({ yes: 0, no: 0, mine: null })
    expect((await ben.delete(`/proposals/${id}/vote`)).statusCode).toBe(200)
  })

  test('a file that nobody has voted on is taken for one like the others', async () => {
    const request = await aRequest(ada)
    const [liked, disliked, untouched] = [
      await aProposal(ada, request.id),
      await aProposal(ada, request.id),
      await aProposal(ada, request.id),
    ]
    for (const person of [ada, ben]) {
      await person.put(`/proposals/${liked.id}/vote`, { wouldField: true })
      await person.put(`/proposals/${disliked.id}/vote`, { wouldField: person === ada })
    }
    // Of four votes (and none before in this group) three are yes: (3 + 2) / (4 + 4).
    const share = 5 / 8
    const votes = async (id: string) => (await ada.get(`/proposals/${id}`)).json().votes
    expect(await votes(untouched.id)).toMatchObject({ yes: 0, no: 0, share })
    expect((await votes(liked.id)).share).toBeCloseTo((2 + 4 * share) / 6, 12)
    const answers = (await ada.get(`/units/${request.unit.id}/answers`)).json().items as {
      file: { id: string }
      votes: { share: number }
    }[]
    const found = answers.find(({ file }) => file.id === disliked.file.id)
    expect(found?.votes.share).toBeCloseTo((1 + 4 * share) / 6, 12)
    for (const { id } of [liked, disliked])
      for (const person of [ada, ben]) await person.delete(`/proposals/${id}/vote`)
  })

  test('many votes of one member at once count as one', async () => {
    const { id } = await aProposal(ada, (await aRequest(ada)).id)
    const answers = await Promise.all(
      Array.from({ length: 12 }, (_, i) => ben.put(`/proposals/${id}/vote`, { wouldField: i % 2 === 0 })),
    )
    expect(answers.map((answer) => answer.statusCode)).toEqual(Array(12).fill(200))
    const { yes, no } = (await ada.get(`/proposals/${id}`)).json().votes
    expect(yes + no).toBe(1)
  })

  test('a withdrawn request takes no vote, a settled one does', async () => {
    const withdrawn = await aRequest(ada)
    const dead = await aProposal(ben, withdrawn.id)
    await ada.patch(`/requests/${withdrawn.id}`, { state: 'withdrawn' })
    expect((await ben.put(`/proposals/${dead.id}/vote`, { wouldField: true })).statusCode).toBe(409)
    expect((await ben.delete(`/proposals/${dead.id}/vote`)).statusCode).toBe(409)
    expect((await ben.submit(`/proposals/${dead.id}/vote`, { wouldField: 'true' })).statusCode).toBe(409)

    const settled = await aRequest(ada)
    const chosen = await aProposal(ben, settled.id)
    await ada.patch(`/requests/${settled.id}`, { state: 'settled', fileId: chosen.file.id })
    expect((await ben.put(`/proposals/${chosen.id}/vote`, { wouldField: true })).statusCode).toBe(200)
  })

  test('bad input, unknown proposals and people who are not signed in', async () => {
    const { id } = await aProposal(ada, (await aRequest(ada)).id)
    const bad = [{}, { wouldField: 'yes' }, { wouldField: true, weight: 5 }, { wouldField: null }]
    for (const body of bad) expect((await ben.put(`/proposals/${id}/vote`, body)).statusCode).toBe(422)
    const nowhere = '/proposals/01890000-0000-7000-8000-000000000000/vote'
    expect((await ben.put(nowhere, { wouldField: true })).statusCode).toBe(404)
    expect((await outsider(app).put(`/proposals/${id}/vote`, { wouldField: true })).statusCode).toBe(401)
    expect((await ben.submit(`/proposals/${id}/vote`, { wouldField: 'perhaps' })).statusCode).toBe(422)
  })

  test('by the buttons of the page', async () => {
    const request = await aRequest(ada)
    const [first, second] = [await aProposal(ada, request.id), await aProposal(ada, request.id)]
    const best = (await ada.get(`/requests/${request.id}/answers`)).json().items[0].proposalId
    const { id } = best === first.id ? second : first
    const voted = await ben.submit(`/proposals/${id}/vote`, { wouldField: 'false' })
    expect(voted.statusCode).toBe(303)
    const back = `/requests/${request.id}?answer=${id}&said=vote-counted`
    expect(voted.headers.location).toBe(`${back}#answer-${id}`)
    const { body } = await ben.page(back)
    expect(body.match(/Your vote is counted/g)).toHaveLength(1)
    expect(body).toMatch(new RegExp(`id="answer-${id}"><div class="notice" role="status">Your vote is counted`))
    const [after = ''] = body.split(`id="answer-${id}"`).slice(1)
    expect(after).toMatch(/^[^<]*<div[^>]*>[^<]*<\/div><details class="answer" name="answers" open/)
    expect(body.match(/<details class="answer" name="answers" open/g)).toHaveLength(1)
    // An answer that was taken back since can't say it.
    expect((await ben.page(`/requests/${request.id}?answer=${request.id}&said=vote-counted`)).body).toContain(
      'Your vote is counted',
    )
    expect((await ben.page(`/requests/${request.id}`)).body).toContain('Your answer: no')
    await ben.submit(`/proposals/${id}/vote`, { wouldField: '' })
    expect((await ben.page(`/requests/${request.id}`)).body).not.toContain('Your answer')
  })
})

test("the group's votes are counted as they come, change and go, by whatever way", async () => {
  const request = await aRequest(ada)
  const [kept, gone] = [await aProposal(ada, request.id), await aProposal(ada, request.id)]
  const counts = async () => {
    const { rows } = await sql`select yes, no,
      yes = (select count(*) from vote where would_field) and no = (select count(*) from vote where not would_field) as agree
      from vote_count`.execute(db)
    return rows[0] as { yes: number; no: number; agree: boolean }
  }
  const before = await counts()
  await ben.put(`/proposals/${kept.id}/vote`, { wouldField: true })
  await ben.put(`/proposals/${gone.id}/vote`, { wouldField: true })
  await ada.put(`/proposals/${kept.id}/vote`, { wouldField: true })
  expect(await counts()).toEqual({ yes: before.yes + 3, no: before.no, agree: true })
  await ada.put(`/proposals/${kept.id}/vote`, { wouldField: false })
  expect(await counts()).toEqual({ yes: before.yes + 2, no: before.no + 1, agree: true })
  await ben.delete(`/proposals/${kept.id}/vote`)
  expect((await ada.delete(`/proposals/${gone.id}`)).statusCode).toBe(204)
  expect(await counts()).toEqual({ yes: before.yes, no: before.no + 1, agree: true })
})
