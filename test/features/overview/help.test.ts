import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { apiDoc, fieldsOf, kindOf } from '../../../server/features/overview/help/api-doc.ts'
import type { Settings } from '../../../server/features/people/settings/schema.ts'
import { toMinor } from '../../../server/http/money.ts'
import { apiDocument } from '../../../server/http/openapi.ts'
import { operationsOf } from '../../../server/http/openapi-document.ts'
import type { App } from '../../../server/http/route.ts'
import { allGood, type Stages, successOf } from '../../../server/scoring/chances.ts'
import { expectedCost } from '../../../server/scoring/cost.ts'
import { meanOf } from '../../../server/scoring/draws.ts'
import { drawsOfMachineInOrder, drawsOfNewLine, groupDrawsBeforeReports } from '../../../server/scoring/group-draws.ts'
import { seenLabels } from '../../../server/scoring/labels.ts'
import { failingWords } from '../../../web/parts/failing-words.ts'
import together from '../../../web/texts/api/together.json' with { type: 'json' }
import { member, outsider, owner, type Person, startApp } from '../../support/app.ts'

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

  test('is for everybody, and shows the table that blame starts from', async () => {
    for (const person of [outsider(app), ada]) {
      const answer = await person.page('/help')
      expect(answer.statusCode).toBe(200)
      const text = textOf(answer.body)
      for (const [label, [file, machine, plate]] of Object.entries(seenLabels))
        expect(text).toContain(`${label} ${[file, machine, plate].map((share) => Math.round(share * 100)).join(' ')} `)
    }
  })

  test('says each choice that was made for how lists, plans, merging and tables work', async () => {
    const text = textOf((await ada.page('/help')).body)
    for (const words of [
      'you are asked once for all such lines',
      'Models that are printed, or saved by hand, are done',
      'A file that fits on none of your printers is left out and named',
      'the later one stays',
      'can be removed while nobody uses them',
      'begins with an apostrophe',
      'Whoever asked, or a steward, can open it again',
    ])
      expect(text).toContain(words)
  })

  test('speaks of the present model alone', async () => {
    const text = textOf((await ada.page('/help')).body)
    for (const word of ['habit', 'hundred times', 'count half.', 'second reading', 'neighbour', 'message', 'loose'])
      expect(text).not.toContain(word)
    for (const word of ['all in', 'square root', 'is worn from some plate on']) expect(text).toContain(word)
  })

  test('has its contents in one place, and each word on a line of its own', async () => {
    const { body } = await outsider(app).page('/help')
    const contents = /<nav class="contents-side"[\s\S]*?<\/nav>/.exec(body)?.[0] ?? ''
    const headings = [...body.matchAll(/<section class="section" id="([a-z]+)"/g)].map(([, id]) => `#${id}`)
    expect(headings.length).toBeGreaterThan(5)
    expect([...contents.matchAll(/href="([^"]+)"/g)].map(([, href]) => href)).toEqual(headings)
    expect(body).toMatch(/<dl class="glossary"><div><dt>group<\/dt><dd>the people here/)
  })

  test('its example adds up', async () => {
    const { body } = await ada.page('/help')
    const table = /<table class="sum-table">.*?<\/table>/s.exec(body)?.[0] ?? ''
    const sums = [...table.matchAll(/€(\d+\.\d\d)/g)].map((found) => Math.round(Number(found[1]) * 100))
    expect(sums).toHaveLength(6)
    expect(sums.slice(0, 5).reduce((sum, one) => sum + one, 0)).toBe(sums[5])
    // What the code that ranks makes of the settings a group starts from; only the price of the file is chosen here.
    const { looksMinor, comesOut, ...cost } = exampleFrom((await ada.get('/settings')).json() as Settings)
    expect(sums.slice(1, 5)).toEqual([cost.resinForGoodMinor, cost.platesMinor, cost.failuresMinor, looksMinor])
    expect(table).toContain(failingWords(10, comesOut, cost.expectedFailures))
  })

  test('cautions, and defers to the data sheet and local rules', async () => {
    const text = textOf((await ada.page('/help')).body)
    for (const word of ['safety data sheet', 'nitrile', 'Alcohol burns', 'down the drain', 'Local rules decide'])
      expect(text).toContain(word)
  })

  test('has every piece of the page at its place in the texts', async () => {
    const { body } = await ada.page('/help')
    expect(textOf(body)).not.toMatch(/\{\w*\}|\*\*|###/)
    const order = [
      'An example, with a new group',
      'Plates cost film',
      'Of 100 copies that failed',
      'Read the table along a line',
    ]
    expect(order.map((words) => textOf(body).indexOf(words))).toEqual(
      order.map((words) => textOf(body).indexOf(words)).toSorted((one, other) => one - other),
    )
    for (const words of order) expect(textOf(body)).toContain(words)
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

interface Schema {
  type?: string
  title?: string
  $ref?: string
  properties?: object
  additionalProperties?: unknown
}

/** The objects in a part of the document that take fields which they don't name; a map from id to something has no names. */
function openObjects(part: unknown, schemas: Record<string, unknown>, seen: Set<string>): string[] {
  if (typeof part !== 'object' || part === null) return []
  const { $ref, type, properties, additionalProperties } = part as Schema
  const name = $ref?.split('/').at(-1)
  if (name && seen.has(name)) return []
  if (name) return openObjects(schemas[name], schemas, seen.add(name))
  const isOpen = type === 'object' && properties !== undefined && additionalProperties !== false
  return [
    ...(isOpen ? [JSON.stringify(Object.keys(properties))] : []),
    ...Object.values(part).flatMap((one) => openObjects(one, schemas, seen)),
  ]
}

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

  test('says of every shape whose fields have to fit together how they do (ASVS 2.1.2)', async () => {
    const text = (await outsider(app).page('/api')).body
    for (const { shape } of together) {
      expect(text).toContain(`<a href="#shape-${shape}">`)
      expect(text).toContain(`id="shape-${shape}"`)
    }
    const { schemas = {} } = apiDocument(app).components ?? {}
    expect(together.map(({ shape }) => shape).filter((shape) => !(shape in schemas))).toEqual([])
  })

  test('every body refuses fields that it does not name (ASVS 15.3.3)', () => {
    const { paths, components } = apiDocument(app)
    const bodies = operationsOf(apiDocument(app)).flatMap(([, { requestBody }]) => requestBody ?? [])
    expect([Object.keys(paths ?? {}).length, bodies.length].every((count) => count > 20)).toBe(true)
    const schemas: Record<string, unknown> = components?.schemas ?? {}
    expect(openObjects(bodies, schemas, new Set())).toEqual([])
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
            bodyExample: null,
            answers: [{ status: '200', words: 'Done', kind: [], fields: [], example: null }],
          },
        ],
      },
    ])
    expect(shapes).toEqual([])
  })
})

/** Ten models of a file that nobody has printed, eight to a plate; 30 of 100 would rather not field it. */
function exampleFrom(settings: Settings) {
  const group = groupDrawsBeforeReports()
  const stages: Stages = {
    file: drawsOfNewLine(group),
    machine: drawsOfMachineInOrder(group),
    group,
    crowding: 'about full',
  }
  const success = successOf(stages)
  const cost = expectedCost({
    success,
    plateFails: 1 - allGood(stages, [8]),
    wanted: 10,
    priceMinor: 0,
    copiesPerPlate: 8,
    snagMinutes: 30,
    resinMlPerCopy: settings.resinMlPerModel,
    densityGPerMl: settings.resinGramsPerMl,
    resinPricePerKgMinor: toMinor(settings.resinPricePerKg),
    cleanUpPerFailedCopyMinor: toMinor(settings.cleanUp),
    cleanUpPerFailedPlateMinor: toMinor(settings.cleanUpPerPlate),
    perPlateMinor: toMinor(settings.perPlate),
    timePerHourMinor: toMinor(settings.timePerHour),
  })
  return { ...cost, comesOut: meanOf(success), looksMinor: Math.round(10 * 0.3 * toMinor(settings.looksWorth)) }
}
