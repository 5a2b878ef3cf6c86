import '../../server/http/validation.ts'
import { globSync, readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { z } from 'zod'
import { changedFile, changedSculptor, newFile } from '../../server/features/catalogue/files/schema.ts'
import { foundForm, keptForm, typedForm } from '../../server/features/catalogue/measures/schema.ts'
import { changedOffer, newOffer } from '../../server/features/catalogue/offers/schema.ts'
import { changedRevision, newRevision, newSupportSet } from '../../server/features/catalogue/revisions/schema.ts'
import { changedSnag, newSnag } from '../../server/features/catalogue/snags/schema.ts'
import { changedUnit, newUnit } from '../../server/features/catalogue/units/schema.ts'
import { merge } from '../../server/features/overview/merging/schema.ts'
import { newGroup } from '../../server/features/people/group/schema.ts'
import { newInvitation } from '../../server/features/people/invitations/schema.ts'
import { aboutForm, addressForm, passwordForm } from '../../server/features/people/me/schema.ts'
import { changedMember, newMember, newPassword } from '../../server/features/people/members/schema.ts'
import { credentials } from '../../server/features/people/sessions/schema.ts'
import { datedRate, wholeSettings } from '../../server/features/people/settings/schema.ts'
import {
  changedPicture,
  markedBase,
  newFace,
  newPictures,
  platePictures,
} from '../../server/features/printing/pictures/schema.ts'
import { changedPrinterForm, newUpkeep, printerForm } from '../../server/features/printing/printers/schema.ts'
import { plateForm, wetForm } from '../../server/features/printing/reports/schema.ts'
import { changedResin, newResin } from '../../server/features/printing/resins/schema.ts'
import { newProposal } from '../../server/features/requests/proposals/schema.ts'
import { changedRequest, newRequest } from '../../server/features/requests/requests/schema.ts'
import { planForm } from '../../server/features/rosters/plan/form.ts'
import {
  asked,
  assembledEntry,
  changedEntry,
  changedRoster,
  newEntries,
  newRoster,
  pastedList,
} from '../../server/features/rosters/schema.ts'
import { newPurchase, newSpendLine } from '../../server/features/rosters/spend/schema.ts'
import { bodyOf } from '../../server/http/form-body.ts'
import { readForm } from '../../server/http/page.tsx'

const forms: Record<string, z.ZodType> = {
  aboutForm,
  addressForm,
  asked,
  changedEntry,
  changedFile,
  changedMember,
  changedOffer,
  changedPicture,
  changedPrinterForm,
  changedRequest,
  changedRevision,
  changedRoster,
  changedSculptor,
  changedSnag,
  changedUnit,
  credentials,
  datedRate,
  foundForm,
  keptForm,
  merge,
  newEntries,
  newFace,
  newFile,
  newGroup,
  newInvitation,
  newMember,
  newOffer,
  newPassword,
  newPictures,
  markedBase,
  assembledEntry,
  newProposal,
  newPurchase,
  newRequest,
  newRevision,
  newRoster,
  newSnag,
  newSpendLine,
  newSupportSet,
  newUnit,
  newUpkeep,
  changedResin,
  newResin,
  passwordForm,
  pastedList,
  planForm,
  plateForm,
  platePictures,
  printerForm,
  typedForm,
  wetForm,
  wholeSettings,
}

/** The texts that may be empty, by form: they are emptied by an empty field, where others are left out. */
const mayBeEmpty: Record<string, string[]> = {
  asked: ['setting'],
  newUnit: ['setting'],
  changedUnit: ['setting'],
  newFile: ['licence', 'offer.title', 'remark', 'sculptor.name'],
  changedFile: ['licence', 'remark'],
  newOffer: ['title'],
  changedOffer: ['title'],
  newSupportSet: ['claim'],
  newSnag: ['detail', 'part'],
  changedSnag: ['detail', 'part'],
  newEntries: ['text'],
  newRoster: ['text'],
  newGroup: ['setupCode'],
  newInvitation: ['note'],
  newUpkeep: ['remark'],
  changedPicture: ['alt'],
  newPictures: ['alt'],
  plateForm: ['alt', 'q', 'remark'],
  platePictures: ['alt'],
  newResin: ['remark'],
  changedResin: ['remark'],
  newProposal: ['file.licence', 'file.offer.title', 'file.remark', 'file.sculptor.name', 'remark'],
  newRequest: ['remark', 'unit.setting'],
  changedRequest: ['remark'],
}

interface Json {
  type?: string
  format?: string
  $ref?: string
  anyOf?: Json[]
  properties?: Record<string, Json>
  additionalProperties?: Json | false
  propertyNames?: { enum?: string[] }
}

interface FieldOfForm {
  path: string
  kind: 'number' | 'boolean' | 'array' | 'money' | 'text' | 'password'
  mayBeNull: boolean
}

interface GroupOfForm {
  path: string
  mayBeNull: boolean
  fields: FieldOfForm[]
}

/** All fields of a form and the groups of them, as zod's own JSON Schema (draft 2020-12) of it tells. */
function told(schema: z.ZodType): { fields: FieldOfForm[]; groups: GroupOfForm[] } {
  const whole = z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' }) as Json & {
    $defs?: Record<string, Json>
  }
  const groups: GroupOfForm[] = []
  const within = (json: Json, path: string): FieldOfForm[] => {
    if (json.$ref) return within(whole.$defs?.[json.$ref.split('/').at(-1) ?? ''] ?? {}, path)
    const some = json.anyOf?.filter(({ type }) => type !== 'null') ?? []
    const mayBeNull = json.anyOf !== undefined && some.length < json.anyOf.length
    if (mayBeNull && some[0]) {
      const fields = within(some[0], path)
      if (fields.length > 1) groups.push({ path, mayBeNull, fields })
      return fields.length > 1 ? fields : fields.map((field) => ({ ...field, mayBeNull }))
    }
    const inner = Object.entries(json.properties ?? {})
    if (inner.map(([name]) => name).join() === 'amount,currency') return [{ path, kind: 'money', mayBeNull: false }]
    if (json.properties) return inner.flatMap(([name, one]) => within(one, path ? `${path}.${name}` : name))
    if (json.additionalProperties)
      return within(json.additionalProperties, `${path}.${json.propertyNames?.enum?.[0] ?? 1}`)
    return [{ path, kind: kindOf(json), mayBeNull: false }]
  }
  return { fields: within(whole, ''), groups }
}

function kindOf({ type, format }: Json): FieldOfForm['kind'] {
  if (type === 'integer' || type === 'number') return 'number'
  if (type === 'boolean' || type === 'array') return type
  return format === 'password' ? 'password' : 'text'
}

const at = (body: unknown, path: string): unknown =>
  path.split('.').reduce<unknown>((around, step) => (around as Record<string, unknown> | undefined)?.[step], body)

/** What a field becomes whose group has something else in it, so that its emptiness is its own. */
function read(form: z.ZodType, path: string, typed: Record<string, string | string[]>): unknown {
  const around = path.includes('.') ? { [`${path.replace(/[^.]+$/, '')}other`]: 'x' } : {}
  return at(bodyOf({ ...around, ...typed }, form), path)
}

const all = Object.entries(forms).map(([name, form]) => ({ name, form, ...told(form) }))
const each = (...kinds: FieldOfForm['kind'][]) =>
  all.flatMap(({ name, form, fields }) =>
    fields
      .filter(({ kind }) => kinds.includes(kind))
      .map((field): [string, z.ZodType, FieldOfForm] => [`${name}: ${field.path}`, form, field]),
  )

test('no form of a page is missing here', () => {
  const sources = globSync('server/features/**/*.{ts,tsx}').map((path) => readFileSync(path, 'utf8'))
  const read = sources.flatMap((source) =>
    Array.from(source.matchAll(/readForm\(([\w.]+(?:\(\))?)/g), ([, name]) => name),
  )
  expect([...new Set(read)].filter((name) => name !== 'z.unknown()').sort()).toEqual(Object.keys(forms).sort())
})

describe.each(each('number'))('a number, %s', (_, form, { path, mayBeNull }) => {
  test('is read with a point or a comma', () => {
    expect([' 12 ', '1.5', '1,5'].map((typed) => read(form, path, { [path]: typed }))).toEqual([12, 1.5, 1.5])
  })
  test('keeps the words that were typed for it, and says what it wants', () => {
    const { values, errors } = readForm(form, { [path]: 'a dozen' })
    expect([values[path], errors[path]]).toEqual([
      'a dozen',
      expect.stringMatching(/^Enter a (whole )?number(, (1 or more|0 for none))?\.$|Enter a number, such as [\d.]+\.$/),
    ])
  })
  test('says between which bounds it is', () => {
    const said = ['-1', '999999999999'].map((typed) => readForm(form, { [path]: typed }).errors[path])
    expect(said).toEqual([expect.stringMatching(/at least /i), expect.stringMatching(/^At most /)])
  })
  test('left empty', () => expect(read(form, path, { [path]: '' })).toBe(mayBeNull ? null : undefined))
})

describe.each(each('boolean'))('a flag, %s', (_, form, { path }) => {
  test('is read', () => {
    expect(['true', 'false', 'perhaps', ''].map((typed) => read(form, path, { [path]: typed }))).toEqual([
      true,
      false,
      'perhaps',
      undefined,
    ])
  })
})

describe.each(each('array'))('a list, %s', (_, form, { path }) => {
  test('is read of lines and of ticked boxes', () => {
    expect(read(form, path, { [path]: ' one \r\n\r\ntwo three\n' })).toEqual(['one', 'two three'])
    expect(read(form, path, { [path]: ['', 'one', 'two three'] })).toEqual(['one', 'two three'])
    expect(read(form, path, { [path]: '' })).toEqual([])
  })
})

describe.each(each('money'))('money, %s', (_, form, { path, mayBeNull }) => {
  test('is read, and is none without an amount', () => {
    const money = (amount: string) => ({ [`${path}.amount`]: amount, [`${path}.currency`]: 'EUR' })
    expect(read(form, path, money(' 1,50 '))).toEqual({ amount: '1.50', currency: 'EUR' })
    expect(read(form, path, money(' '))).toBe(mayBeNull ? null : undefined)
  })
})

test.each(each('text'))('a text, %s, is read without blanks around it', (_, form, { path }) => {
  expect(read(form, path, { [path]: ' 1,5 x ' })).toBe('1,5 x')
})

test.each(each('password'))('a password, %s, is read as typed', (_, form, { path }) => {
  expect(read(form, path, { [path]: '  1,5 x\r\n' })).toBe('  1,5 x\r\n')
  expect(read(form, path, { [path]: '' })).toBeUndefined()
})

test.each(all)('the empty texts of $name', ({ name, form, fields }) => {
  const texts = fields.filter(({ kind }) => kind === 'text')
  const emptied = texts.map(({ path, mayBeNull }) => [path, mayBeNull, read(form, path, { [path]: ' ' })] as const)
  expect(
    emptied
      .filter(([, , value]) => value === '')
      .map(([path]) => path)
      .sort(),
  ).toEqual(mayBeEmpty[name] ?? [])
  for (const [path, mayBeNull, value] of emptied)
    if (value !== '') expect([path, value]).toEqual([path, mayBeNull ? null : undefined])
})

const groups = all.flatMap(({ name, form, groups }) =>
  groups.map((group): [string, z.ZodType, GroupOfForm] => [`${name}: ${group.path}`, form, group]),
)
test.each(groups)('a group of which every field is empty, %s, is cleared', (_, form, { path, fields }) => {
  const single = fields.filter(({ kind }) => kind !== 'array' && kind !== 'money')
  const empty = Object.fromEntries(single.map((field) => [field.path, '']))
  expect(read(form, path, empty)).toBeNull()
})

test('a blank that means nothing is refused where the form shows the whole thing', () => {
  const typed = { name: ' ', scaleMm: '', 'base.shape': '', aliases: '', setting: '', 'retailPrice.amount': '' }
  const { errors } = readForm(changedUnit, typed, { whole: true })
  expect(errors).toEqual({ name: 'Please fill this in.', scaleMm: 'Please fill this in.' })
  expect(readForm(changedUnit, typed).errors).toEqual({})
})

test('a schema that no form is read for is told at once', () => {
  expect(() => bodyOf({ when: '2026' }, z.strictObject({ when: z.date() }))).toThrow('date')
})
