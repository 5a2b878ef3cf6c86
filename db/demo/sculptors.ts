import type { Insertable } from 'kysely'
import type { Tables } from '../tables.ts'
import type { Making } from './calendar.ts'

interface DemoSculptor {
  name: string
  credit?: 'unnamed'
  /** where they sell, without `https://` */
  shop: string
  currency: 'EUR' | 'USD' | 'GBP' | 'JPY'
  formats: readonly string[]
  licence: string
  /** Whether a second shop sells their files as well. */
  alsoAtStall: boolean
}

const personal = 'personal use only'
const seller = "personal use; prints may be sold with a seller's membership"

export const sculptors = {
  wick: {
    ...{ name: 'Wick & Withy', shop: 'wick-and-withy.example', currency: 'EUR', alsoAtStall: false },
    ...{ formats: ['stl', 'slicer project'], licence: seller },
  },
  kettle: {
    ...{ name: 'Third Kettle', shop: 'third-kettle.example', currency: 'USD', alsoAtStall: true },
    ...{ formats: ['stl'], licence: seller },
  },
  herons: {
    ...{ name: 'Nine Herons Workshop', shop: 'nine-herons.example', currency: 'EUR', alsoAtStall: false },
    ...{ formats: ['3mf', 'stl'], licence: personal },
  },
  teal: {
    ...{ name: 'Brannoch Teal', shop: 'brannoch-teal.example', currency: 'EUR', alsoAtStall: true },
    ...{ formats: ['stl'], licence: personal },
  },
  oddment: {
    ...{ name: 'Oddment Row', shop: 'oddment-row.example', currency: 'EUR', alsoAtStall: true },
    ...{ formats: ['stl', 'obj'], licence: personal },
  },
  verrowick: {
    ...{ name: 'Ilse Verrowick', shop: 'verrowick.example', currency: 'EUR', alsoAtStall: true },
    ...{ formats: ['stl', '3mf'], licence: personal },
  },
  thimble: {
    ...{ name: 'Sable Thimble', shop: 'sable-thimble.example', currency: 'GBP', alsoAtStall: true },
    ...{ formats: ['stl', 'slicer project'], licence: seller },
  },
  mudd: {
    ...{ name: 'Corran Mudd', shop: 'corran-mudd.example', currency: 'EUR', alsoAtStall: false },
    ...{ formats: ['stl'], licence: 'free to use, name the sculptor' },
  },
  lopsided: {
    ...{ name: 'The Lopsided Press', shop: 'lopsided-press.example', currency: 'JPY', alsoAtStall: false },
    ...{ formats: ['obj', 'stl'], licence: personal },
  },
  ostervane: {
    ...{ name: 'Juna Ostervane', shop: 'ostervane.example', currency: 'USD', alsoAtStall: true },
    ...{ formats: ['stl', '3mf'], licence: seller },
  },
  anvil: {
    ...{ name: 'Felt Anvil', shop: 'felt-anvil.example', currency: 'EUR', alsoAtStall: true },
    ...{ formats: ['stl'], licence: personal },
  },
  // Asked not to be named or linked: no remark, title or address of anything else may give the name away.
  grebe: {
    ...{ name: 'Hollis Grebe', credit: 'unnamed', shop: 'hollis-grebe.example', currency: 'EUR', alsoAtStall: true },
    ...{ formats: ['stl'], licence: personal },
  },
} as const satisfies Record<string, DemoSculptor>

export type SculptorKey = keyof typeof sculptors
export const sculptorKeys = Object.keys(sculptors) as SculptorKey[]
export const sculptorOf = (key: SculptorKey): DemoSculptor => sculptors[key]

export function makeSculptors({ calendar, id }: Making) {
  const rows = sculptorKeys.map((key, index): Insertable<Tables['sculptor']> => {
    const createdAt = calendar.at(466 - index, 19)
    const { name, credit = 'named' } = sculptorOf(key)
    return { id: id(createdAt), name, credit, createdAt }
  })
  const ids = Object.fromEntries(sculptorKeys.map((key, index) => [key, rows[index]?.id])) as Record<
    SculptorKey,
    string
  >
  return { rows, ids }
}
