import { createHash } from 'node:crypto'
import { afterAll, expect, test } from 'vitest'
import { startGroup } from '../support/app.ts'
import { noBundles } from '../support/no-assets.ts'

const style = '@font-face{src:url("./a-ABC.woff2")}p::before{content:"<&"}'
const { app, ada, close } = await startGroup({
  assets: { folder: import.meta.dirname, manifest: { ...noBundles, css: 'style-AB12.css' }, style },
})
afterAll(close)

const link = '<link rel="stylesheet" href="/assets/style-AB12.css"'
const ask = (cookies: Record<string, string> = {}) => app.inject({ url: '/help', cookies, headers: {} })
const policyOf = ({ headers }: Awaited<ReturnType<typeof ask>>) => String(headers['content-security-policy'])

test('a browser that was never here gets the style sheet with its first page, which may hold this one and no other', async () => {
  const first = await ask()
  const inside = /<style>(.*?)<\/style>/s.exec(first.body)?.[1] ?? ''
  expect(inside).toBe(style.replace('./', '/assets/'))
  const hash = createHash('sha256').update(inside).digest('base64')
  expect(policyOf(first)).toContain(`style-src 'self' 'sha256-${hash}';`)
  expect(policyOf(first)).not.toContain('unsafe')
  // What is for paper alone is fetched without holding anything up.
  expect(first.body).toContain(`${link} media="print"`)
  expect(first.cookies).toMatchObject([
    { name: 'style', value: 'AB12', httpOnly: true, sameSite: 'Lax', path: '/', expires: expect.any(Date) },
  ])
})

test('one that has it is told where it is', async () => {
  const again = await ask({ style: 'AB12' })
  expect(again.body).toContain(link)
  expect(again.body).not.toContain('<style')
  expect(policyOf(again)).toContain("style-src 'self';")
  expect(again.cookies).toEqual([])
})

test('one that has an older build’s gets the new one', async () => {
  const again = await ask({ style: 'OLD99' })
  expect(again.body).toContain('<style>')
  expect(again.cookies).toMatchObject([{ name: 'style', value: 'AB12' }])
})

test('a page that is refused before its cookies are read, as under another name, does without', async () => {
  const refused = await app.inject({ url: '/help', headers: { host: 'elsewhere.example' } })
  expect([refused.statusCode, refused.cookies]).toEqual([421, []])
  expect(refused.body).toContain(link)
})

test('the API has nothing to do with it', async () => {
  const { cookies, headers } = await ada.get('/units')
  expect([cookies, String(headers['content-security-policy']).includes('sha256')]).toEqual([[], false])
})
