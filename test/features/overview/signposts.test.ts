import { afterAll, describe, expect, test } from 'vitest'
import { outsider, startGroup } from '../../support/app.ts'
import { aFile, aUnit } from '../../support/catalogue.ts'
import { aProposal, aRequest } from '../../support/requests.ts'
import { planned } from '../../support/rosters.ts'

const { app, ada, ben, close } = await startGroup()
afterAll(close)

describe('words that show the way', () => {
  test('addresses that one would guess lead there', async () => {
    expect((await ada.page('/requests')).headers.location).toBe('/')
    expect((await ada.page('/account')).headers.location).toBe('/me')
  })

  test('a sculptor who is looked up has a line, which leads to their files; one who may not be named has none', async () => {
    const credits = { named: 'Wick & Withy', unnamed: 'Wick Unsaid' } as const
    for (const [credit, name] of Object.entries(credits)) await aFile(ada, { sculptor: { name, credit } })
    const { body } = await ben.page('/search?q=Wick')
    expect(body).toContain('<a href="/files?q=Wick%20%26%20Withy">Wick &amp; Withy</a>, 1 file')
    expect(body).not.toContain('Unsaid')
    expect((await ben.page('/files?q=Wick%20%26%20Withy')).body).toContain('Wick &amp; Withy')
  })

  test('all is offered only where something is left out', async () => {
    const { id } = await aUnit(ada)
    await aFile(ada, { standsInFor: [id] })
    expect((await ada.page(`/units/${id}`)).body).not.toContain('Show all')
    expect((await ada.page(`/units/${id}?obtainable=true`)).body).toContain('Show all')
  })

  test('a proposal without a remark names who made it, and no more', async () => {
    const { id } = await aRequest(ada)
    await aProposal(ben, id)
    const { body } = await ada.page(`/requests/${id}`)
    expect(body).toContain('By Ben.')
    expect(body).not.toContain('no remark')
  })

  test('a new roster says what comes next, by what is known of it', async () => {
    const { name } = await aUnit(ada)
    const next = async (text: string) => {
      const { headers } = await ada.submit('/rosters/new', { name: `Muster ${text}`, text })
      return new URL(String(headers.location), 'http://page').searchParams.get('said')
    }
    expect(await next('')).toBe('roster-added-empty')
    expect(await next('3 x Nobody Knows These')).toBe('roster-added-unknown')
    expect(await next(`3 x ${name}`)).toBe('roster-added')
  })

  test('a roster for which nobody knows a file is not offered to be planned, and what it lacks is not led to', async () => {
    const { headers } = await ada.submit('/rosters/new', { name: 'Muster', text: '3 x Nobody Knows These' })
    const url = String(headers.location).split('?')[0] ?? ''
    const before = (await ada.page(url)).body
    expect(before).toContain('No stand-in is known for any entry yet.')
    expect(before).toContain('It can be planned once a stand-in is known')
    expect(before).not.toContain('Plan this roster')
    await planned(ada, url.split('/').at(-1) ?? '')
    const { body } = await ada.page(url)
    expect(body).toContain('Plan again')
    const parts = [...body.matchAll(/href="#([^"]+)"/g)].map(([, id]) => id)
    expect(parts).toContain('shopping')
    for (const id of parts) expect(body).toContain(`id="${id}"`)
  })

  test('boxes of no known price are not said to cost nothing', async () => {
    const { headers } = await ada.submit('/rosters/new', {
      name: 'Muster',
      text: '3 x Nobody Knows These\n2 x Nor These',
    })
    const { body } = await ada.page(String(headers.location))
    expect(body).toMatch(
      /data-label="Boxes"><div class="cell">(<a [^>]*>(<span class="visually-hidden">[^<]*<\/span>)?)?not known/,
    )
    const list = body.slice(body.indexOf('id="list"'), body.indexOf('id="plan"'))
    expect(list).toContain('Nobody Knows These')
    expect(list).not.toContain('€0.00')
    expect(body).not.toContain('the boxes')
  })

  test('a refused form says what it is a matter of, and the service is kept by nobody but its group', async () => {
    const refused = await outsider(app).submit('/sign-in', { email: '', password: '' })
    expect(refused.body).toContain('before you are signed in')
    expect((await ada.page('/')).body).not.toContain('kept by')
  })
})
