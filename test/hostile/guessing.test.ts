import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Person } from '../support/app.ts'
import { planned } from '../support/rosters.ts'
import { askAround, askForWords, Notes, tryNames, tryThemes } from './guessing/probes.ts'
import { type Secret, type Twin, twin } from './guessing/twin.ts'

/*
 * Somebody who guesses learns from a difference: between the right guess and a wrong one. So two groups are made that are
 * the same but for the name that is hidden in them, the same is asked in both, and every answer has to be the same. What
 * is a right guess in one is a wrong one in the other.
 */

const secrets: Secret[] = [
  { first: 'Wilma', last: 'Grösheim' },
  { first: 'Berta', last: 'Klärholm' },
]

let twins: Twin[]
beforeAll(async () => {
  twins = [await twin(secrets[0] as Secret), await twin(secrets[1] as Secret)]
})
afterAll(() => Promise.all(twins.map(({ close }) => close())))

type Work = (person: Person, group: Twin, secrets: Secret[], notes: Notes) => Promise<void>

/** What the same questions were answered in the one group otherwise than in the other. */
async function differences(work: Work, who: (group: Twin) => Person = ({ ada }) => ada) {
  const [one = [], other = []] = await Promise.all(
    twins.map(async (group) => {
      const notes = new Notes()
      await work(who(group), group, secrets, notes)
      return notes.told
    }),
  )
  expect(one.length).toBeGreaterThan(4)
  expect(one.length).toBe(other.length)
  return one.flatMap(({ asked, answer }, place) => {
    const said = other[place] ?? { asked: '', answer: '' }
    return asked === said.asked && answer === said.answer ? [] : [{ asked, ...apart(answer, said.answer) }]
  })
}

/** Where two texts come apart. */
function apart(one: string, other: string) {
  const place = [...one].findIndex((_, index) => one.slice(0, index + 1) !== other.slice(0, index + 1))
  const from = Math.max(0, place - 60)
  return { one: one.slice(from, place + 60), other: other.slice(from, place + 60) }
}

describe('whoever guesses who a sculptor is that asked not to be named', () => {
  test('finds nothing by searching and by the order of lists', async () => {
    expect((await differences(askAround)).slice(0, 3)).toEqual([])
  })

  test('finds nothing by planning in a theme', async () => {
    expect((await differences(tryThemes)).slice(0, 3)).toEqual([])
  })

  test('finds no files by an id that they kept from when the sculptor was named', async () => {
    const [{ ada, files, sculptorId }] = twins as [Twin]
    const { id, entries } = (await ada.post('/rosters', { name: 'Kept', text: '3 x Fen Wardens' })).json()
    const pins = { [entries[0].id]: files.pikes.id }
    const plan = await planned(ada, id, { pins, exclude: { sculptorIds: [sculptorId] } })
    expect(plan.entries).toMatchObject([{ fileId: files.pikes.id }])
    // The other group has no such roster, and pages of one's own tell of one's rosters.
    expect((await ada.delete(`/rosters/${id}`)).statusCode).toBe(204)
  })

  test('finds nothing by adding and changing', async () => {
    expect((await differences(tryNames)).slice(0, 3)).toEqual([])
    expect((await differences(askForWords)).slice(0, 3)).toEqual([])
  })

  test('would find a difference, were there any to see: a steward does', async () => {
    const look: Work = async (person, group, _, notes) => {
      for (const { id } of Object.values(group.files)) notes.note('file', await person.get(`/files/${id}`))
    }
    expect(await differences(look, ({ odile }) => odile)).not.toEqual([])
  })
})
