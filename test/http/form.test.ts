import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { readForm } from '../../server/http/page.tsx'
import { Problem } from '../../server/http/problem.ts'
import type { App } from '../../server/http/route.ts'
import { outsider, startApp } from '../support/app.ts'
import { growthOf, mostOverLinear } from '../support/growth.ts'

describe('a form from a stranger', () => {
  let app: App
  let close: () => Promise<void>
  beforeAll(async () => ({ app, close } = await startApp()))
  afterAll(() => close())

  const post = async (payload: string) => {
    const headers = { 'content-type': 'application/x-www-form-urlencoded' }
    const { statusCode, body } = await app.inject({ method: 'POST', url: '/sign-in', headers, payload })
    return [statusCode, /The name of a field may have at most [^.]+\.|A form may have at most [^.]+\./.exec(body)?.[0]]
  }

  test.each([
    [3, [422, undefined]],
    [4, [400, 'The name of a field may have at most 3 dots.']],
    [79, [400, 'The name of a field may have at most 3 dots.']],
    [2_000, [400, 'The name of a field may have at most 80 characters.']],
    [80_000, [400, 'The name of a field may have at most 80 characters.']],
  ])('with %i dots in a name', async (dots, answer) => {
    expect(await post(`email=a${'.'.repeat(dots)}&${'.'.repeat(dots)}=x`)).toEqual(answer)
    expect(await post(`${'%2e'.repeat(dots)}=x`)).toEqual(answer)
  })

  test('with a long name', async () => {
    expect(await post(`${'n'.repeat(80)}=x`)).toEqual([422, undefined])
    expect(await post(`${'n'.repeat(81)}=x`)).toEqual([400, 'The name of a field may have at most 80 characters.'])
  })

  test('with many fields, of many names or of one', async () => {
    const fields = (count: number, name: (index: number) => string) =>
      Array.from({ length: count }, (_, index) => `${name(index)}=x`).join('&')
    for (const name of [(index: number) => `n${index}`, () => 'email', () => '']) {
      expect(await post(fields(2_000, name))).toEqual([422, undefined])
      expect(await post(fields(2_001, name))).toEqual([413, 'A form may have at most 2000 fields.'])
    }
    expect(await post('&'.repeat(200_000))).toEqual([413, 'A form may have at most 2000 fields.'])
  })

  test('is still read where it is one of ours', async () => {
    const typed = { 'owner.name': 'Odile', 'owner.email': 'nowhere', 'owner.password': 'x', groupName: 'a=b&c+d é' }
    const { statusCode, body } = await outsider(app).submit('/setup', typed)
    expect([statusCode, body.includes('value="a=b&amp;c+d é"')]).toEqual([422, true])
  })
})

test('reading a form takes as long as it is long, however deep its names lead', async () => {
  const deep = (dots: number) => () => readForm(z.unknown(), { [`a${'.b'.repeat(dots)}`]: 'x' })
  expect(await growthOf(deep, 500)).toBeLessThan(mostOverLinear)
})

test('a form comes back from a 503 only where that says so itself', async () => {
  const refuse = async (more: { keepsForm?: boolean }) => {
    const form = readForm(z.object({ remark: z.string() }), { remark: 'typed' })
    await form.submit(async () => {
      throw new Problem(503, 'In a moment.', more)
    })
    return [form.values, form.errors]
  }
  expect(await refuse({ keepsForm: true })).toEqual([{ remark: 'typed' }, { '': 'In a moment.' }])
  await expect(refuse({})).rejects.toThrow('In a moment.')
})
