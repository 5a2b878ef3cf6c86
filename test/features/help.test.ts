import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { apiDoc, fieldsOf } from '../../server/features/help/api-doc.ts'
import { kindOf } from '../../server/features/help/kinds.ts'
import type { App } from '../../server/http/app-type.ts'
import { apiDocument } from '../../server/http/openapi.ts'
import { operationsOf } from '../../server/http/openapi-tidy.ts'
import { seenLabels } from '../../server/scoring/labels.ts'
import { member, outsider, owner, type Person, startApp } from '../support/app.ts'

const textOf = (html: string) =>
  html
    .replace(/<[^>]+>/g, ' ')
    .replaceAll('&#39;', "'")
    .replace(/\s+/g, ' ')

describe('the help', () => {
  let app: App
  let close: () => Promise<void>
  let ada: Person
  beforeAll(async () => {
    ;({ app, close } = await startApp())
    ada = await member(await owner(app), 'Ada')
  })
  afterAll(() => close())

  test('is for everybody, and shows the table that blame is found by', async () => {
    for (const person of [outsider(app), ada]) {
      const answer = await person.page('/help')
      expect(answer.statusCode).toBe(200)
      const text = textOf(answer.body)
      for (const [label, [file, machine, plate]] of Object.entries(seenLabels)) {
        if (label === "don't know") expect(text).toContain(`${label} says nothing says nothing says nothing`)
        else
          expect(text).toContain(
            `${label} ${[file, machine, plate].map((share) => Math.round(share * 100)).join(' ')} `,
          )
      }
    }
  })

  test('says where the guesses start', async () => {
    const text = textOf((await ada.page('/help')).body)
    expect(text).toContain('copies on a printer after upkeep 90 of 100 10 copies')
    expect(text).toContain('copies on a packed plate 90 of 100 10 copies')
    // By hand: q = .85 x .15, V = q/11, U = (q - V)/11 + V = 21 q/121, worth q/U - 1 = 121/21 - 1 = 4.76.
    expect(text).toContain('copies of a file by a new sculptor 85 of 100 5 copies')
  })

  test('its example adds up', async () => {
    const { body } = await ada.page('/help')
    const table = /<table class="sum-table">.*?<\/table>/s.exec(body)?.[0] ?? ''
    const sums = [...table.matchAll(/€(\d+\.\d\d)/g)].map((found) => Math.round(Number(found[1]) * 100))
    expect(sums).toHaveLength(6)
    expect(sums.slice(0, 5).reduce((sum, one) => sum + one, 0)).toBe(sums[5])
  })

  test('cautions, and defers to the data sheet and local rules', async () => {
    const text = textOf((await ada.page('/help')).body)
    for (const word of ['safety data sheet', 'nitrile', 'Alcohol burns', 'down the drain', 'Local rules decide'])
      expect(text).toContain(word)
  })

  test('links lead to what is there', async () => {
    for (const path of ['/help', '/api']) {
      const { body } = await ada.page(path)
      const anchors = [...body.matchAll(/href="#([^"]+)"/g)].map((found) => found[1])
      expect(anchors.length).toBeGreaterThan(5)
      for (const anchor of new Set(anchors)) expect(body, `${path}#${anchor}`).toContain(`id="${anchor}"`)
    }
  })
})

describe('the documentation of the API', () => {
  let app: App
  let close: () => Promise<void>
  beforeAll(async () => ({ app, close } = await startApp()))
  afterAll(() => close())

  test('is for everybody and names every call', async () => {
    const answer = await outsider(app).page('/api')
    expect(answer.statusCode).toBe(200)
    const text = textOf(answer.body)
    const calls = operationsOf(apiDocument(app))
    expect(calls.length).toBeGreaterThan(20)
    for (const [method, , path] of calls) expect(text).toContain(`${method.toUpperCase()} ${path}`)
    for (const caller of ['everybody', 'members', 'stewards and the owner']) expect(text).toContain(`For ${caller}.`)
  })

  test('names no call that is not there, and each with who may call it', () => {
    for (const [method, operation, path] of operationsOf(apiDocument(app))) {
      const url = path.replace(/\{(\w+)\}/g, ':$1')
      expect(app.hasRoute({ method: method.toUpperCase() as 'GET', url }), `${method} ${url}`).toBe(true)
      expect(['public', 'member', 'steward', 'owner']).toContain(operation['x-access'])
      expect(operation.security).toEqual(operation['x-access'] === 'public' ? [] : undefined)
    }
  })

  test('what it says of access is so: nobody signed out gets past 401 where it is not public (ASVS 8.2.1)', async () => {
    const id = '018f0000-0000-7000-8000-000000000000'
    for (const [method, operation, path] of operationsOf(apiDocument(app))) {
      if (operation['x-access'] === 'public') continue
      const url = path.replace(/\{currency\}/g, 'USD').replace(/\{\w+\}/g, id)
      const answer = await app.inject({ method: method.toUpperCase() as 'GET', url })
      expect(answer.statusCode, `${method} ${url}`).toBe(401)
    }
  })

  test('every reference leads somewhere, and no schema lies about', () => {
    const document = apiDocument(app)
    const text = JSON.stringify(document)
    const refs = new Set([...text.matchAll(/#\/components\/schemas\/([^"]+)/g)].map((found) => found[1] ?? ''))
    expect(Object.keys(document.components?.schemas ?? {}).sort()).toEqual([...refs].sort())
    expect(text).toContain('application/problem+json')
  })

  test('the fields of an object within an object are listed with their path', () => {
    const schema = {
      type: 'object',
      required: ['tried'],
      properties: {
        tried: { type: 'integer', minimum: 1, maximum: 500 },
        base: {
          anyOf: [{ type: 'object', properties: { widthMm: { type: 'number', minimum: 0.1 } } }, { type: 'null' }],
        },
        failures: {
          type: 'array',
          maxItems: 8,
          default: [],
          items: { type: 'object', required: ['seen'], properties: { seen: { type: 'string', enum: ['a', 'b'] } } },
        },
      },
    }
    expect(fieldsOf(schema)).toEqual([
      { name: 'tried', kind: ['whole number, 1 to 500'], required: true, note: '' },
      { name: 'base', kind: ['object', ' or ', 'null'], required: false, note: '' },
      { name: 'base.widthMm', kind: ['number, at least 0.1'], required: false, note: '' },
      { name: 'failures', kind: ['list of ', 'object', ' (at most 8)'], required: false, note: '[] if left out' },
      { name: 'failures[].seen', kind: ['"a", "b"'], required: true, note: '' },
    ])
  })

  test('kinds are said in words', () => {
    expect(kindOf({ type: 'string', format: 'date' })).toEqual(['day'])
    expect(kindOf({ type: ['string', 'null'] })).toEqual(['text', ' or ', 'null'])
    expect(kindOf({ type: 'string', minLength: 1, maxLength: 80 })).toEqual(['text, 1 to 80 characters'])
    expect(kindOf({ $ref: '#/components/schemas/Money' })).toEqual([{ shape: 'Money' }])
    expect(kindOf({ type: 'integer', minimum: -Number.MAX_SAFE_INTEGER, maximum: Number.MAX_SAFE_INTEGER })).toEqual([
      'whole number',
    ])
    expect(kindOf({ type: 'array', prefixItems: [{ type: 'number' }, { type: 'number' }] })).toEqual([
      'list: ',
      'number',
      ' and ',
      'number',
    ])
  })

  test('a page made from a document that it does not know shows its calls too', () => {
    const { groups, shapes } = apiDoc({
      openapi: '3.1.0',
      info: { title: 'x', version: '1' },
      paths: {
        '/a': {
          get: {
            tags: ['a'],
            summary: 'Read',
            responses: { 200: { description: 'Done' }, '4XX': { description: '' } },
          },
        },
      },
    })
    expect(groups).toEqual([
      {
        name: 'a',
        calls: [
          {
            method: 'GET',
            path: '/a',
            summary: 'Read',
            access: 'member',
            parameters: [],
            body: [],
            answers: [{ status: '200', words: 'Done', kind: [], fields: [] }],
          },
        ],
      },
    ])
    expect(shapes).toEqual([])
  })
})

describe('the table of ASVS requirements', () => {
  test('names only tests and files that there are', () => {
    const root = join(import.meta.dirname, '../..')
    const table = readFileSync(join(root, 'test/reference/asvs.md'), 'utf8')
    const files = [...table.matchAll(/`([\w/.-]+\.(?:ts|tsx))`/g)].map((found) => found[1] ?? '')
    expect(files.length).toBeGreaterThan(10)
    for (const file of new Set(files)) expect(() => readFileSync(join(root, file)), file).not.toThrow()
  })
})
