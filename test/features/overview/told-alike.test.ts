import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { makeDemo } from '../../../db/demo/index.ts'
import { hashPassword } from '../../../server/features/people/members/passwords.ts'
import { outsider, type Person, password, startApp } from '../../support/app.ts'
import { refitHere } from '../../support/kept.ts'

const { app, db, close } = await startApp()
afterAll(close)

let steward: Person
beforeAll(async () => {
  await makeDemo(db, { today: '2026-03-01', passwordHash: await hashPassword(password) })
  await refitHere(db)
  steward = outsider(app)
  steward.keep(await steward.post('/sessions', { email: 'steward@demo.example', password }))
})

/** The words of a page and of its drawings, blanks run together. */
const wordsOf = (html: string) =>
  html
    .replace(/<svg[^>]* role="img" aria-label="([^"]*)"[^>]*>/g, ' $1 ')
    .replace(/<[^>]*>/g, ' ')
    .replaceAll('&#39;', "'")
    .replace(/\s+/g, ' ')

const pageWords = async (url: string) => wordsOf((await steward.page(url)).body)

const numbersIn = (words: string, pattern: RegExp) => [...words.matchAll(pattern)].map(([, number]) => number ?? '')

describe('a figure of the demo group is told alike wherever it is told', () => {
  test('of printers: in words, in drawings, in tables and in the list of them', async () => {
    const list = await pageWords('/printers')
    const printers = await db.selectFrom('printer').select(['id', 'name', 'state']).execute()
    expect(printers.length).toBeGreaterThan(10)
    let worn = 0
    for (const { id, name, state } of printers) {
      const words = await pageWords(`/printers/${id}`)
      const drawn = numbersIn(words, /: (\d+) of 100, most likely between \d+ and \d+\./g)
      // The ruler ends at 100; no chance does.
      const tabled = numbersIn(words, /(\d+) of 100 come through/g).filter((number) => number !== '100')
      expect(tabled.length, name).toBeGreaterThan(0)
      expect(tabled.toReversed(), name).toEqual(drawn)
      const [now] = numbersIn(words, /film is worn or its level off is (\d+) of 100/g)
      const [latest] = numbersIn(words, /At the latest one it is (\d+) of 100/g)
      if (now !== undefined) expect(now, name).toBe(latest)
      const [, own = ''] = list.split(` ${name} `)
      // One's own printer stands apart, with the words of its page.
      if (list.indexOf(` ${name} `) > list.search(/Everyone else’s printers/))
        expect(own, name).toMatch(new RegExp(`^[^%]{0,250}?${tabled[0]} of 100 come through`))
      const listed = /^[^%]{0,120}?may be worn or the level off \((\d+) of 100\)/.exec(
        own.split('come through')[0] ?? '',
      )
      if (state === 'in use' && listed) {
        worn++
        expect(listed[1], name).toBe(now)
      }
    }
    expect(worn).toBeGreaterThan(0)
  })

  test('of files: on their page and among the answers to a request', async () => {
    const { items } = (await steward.get('/requests?limit=100')).json()
    const request = items.find(({ proposals }: { proposals: number }) => proposals > 2)
    const answers = (await steward.get(`/requests/${request.id}/answers`)).json().items
    const asked = await pageWords(`/requests/${request.id}`)
    expect(answers.length).toBeGreaterThan(1)
    for (const { file } of answers) {
      const [, own = ''] = asked.split(`All about ${file.title} `)
      const [answered] = numbersIn(own, /the file alone ((?:about )?[\d-]+ of 100 \([^)]*\))/g)
      expect(answered, file.title).toBeDefined()
      expect(await pageWords(`/files/${file.id}`), file.title).toContain(`the file alone ${answered}`)
    }
  })
})
