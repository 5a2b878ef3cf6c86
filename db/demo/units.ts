import type { Insertable } from 'kysely'
import type { BaseShape, Tables } from '../tables.ts'
import type { Making } from './calendar.ts'
import { type MemberIds, somebody } from './members.ts'
import { randomFrom } from './random.ts'

interface DemoUnit {
  name: string
  aliases?: readonly string[]
  scaleMm: number
  base: Base
  /** models in a unit, as boxed */
  models: number
  /** of the box, in cents; left out where there never was one */
  box?: number
}

export type Base = readonly [shape: BaseShape, widthMm: number, lengthMm?: number]

const round = (widthMm: number): Base => ['round', widthMm]
const oval = (widthMm: number, lengthMm: number): Base => ['oval', widthMm, lengthMm]
const rectangle = (widthMm: number, lengthMm: number): Base => ['rectangle', widthMm, lengthMm]

/** Each year the sea comes up the valleys and stays for a season; people live on dykes and stilts, and keep lights. */
const ebbYears = {
  'fen-wardens': {
    name: 'Fen Wardens',
    aliases: ['Marsh Wardens', 'the Reed Watch'],
    base: round(25),
    models: 10,
    box: 3800,
  },
  'lantern-drovers': { name: 'Lantern Drovers', aliases: ['Bog Lanterns'], base: round(25), models: 10, box: 3600 },
  'eel-spear-levy': {
    name: 'Eel-Spear Levy',
    aliases: ['Levy', 'Low Farm Spears'],
    base: round(25),
    models: 20,
    box: 4600,
  },
  'mudlark-slingers': { name: 'Mudlark Slingers', base: round(25), models: 5, box: 2200 },
  'heron-riders': {
    name: 'Heron Riders',
    aliases: ['Stilt Riders', 'Long-Leg Lancers'],
    base: oval(35, 60),
    models: 5,
    box: 4800,
  },
  'tallow-mother': { name: 'The Tallow Mother', aliases: ['Mother Candle'], base: round(40), models: 1, box: 2800 },
  ferryman: { name: 'Ferryman Unpaid', base: round(32), models: 1, box: 2400 },
  'sluicegate-giant': { name: 'Sluicegate Giant', aliases: ['Lock Giant'], base: round(60), models: 1, box: 6200 },
  'sump-lamprey': { name: 'Sump Lamprey', aliases: ['Old Sucker'], base: oval(70, 105), models: 1, box: 7000 },
  'punt-mortar': {
    name: 'Punt Mortar',
    aliases: ['Mortar Punt and Crew'],
    base: rectangle(50, 100),
    models: 1,
    box: 4400,
  },
  'saltpan-bailiffs': { name: 'Saltpan Bailiffs', base: round(32), models: 5, box: 3200 },
  'tide-clerks': { name: 'Tide Clerks', aliases: ['Clerks of the Ebb'], base: round(25), models: 3, box: 2500 },
  'marching-croft': {
    name: 'Marching Croft',
    aliases: ['Stilt House'],
    base: rectangle(90, 120),
    models: 1,
    box: 9500,
  },
} as const satisfies Record<string, Omit<DemoUnit, 'scaleMm'>>

/** Towns grew around kilns that must never go out; everything else is glass, clay and ash. */
const kilnfall = {
  'glaze-pikes': { name: 'Glaze Pikes', aliases: ['Kiln Yard Pikes'], base: rectangle(25, 25), models: 20, box: 5200 },
  'ember-sweeps': {
    name: 'Ember Sweeps',
    aliases: ['Chimney Sweeps', 'Hook Sweeps'],
    base: round(32),
    models: 5,
    box: 3400,
  },
  'bellows-guard': { name: 'Bellows Guard', base: round(40), models: 5, box: 4200 },
  'crackle-hounds': { name: 'Crackle Hounds', aliases: ['Crazed Hounds'], base: oval(25, 50), models: 6, box: 3000 },
  'slag-ox-riders': { name: 'Slag Ox Riders', aliases: ['Ox Riders'], base: rectangle(50, 75), models: 3, box: 5400 },
  'firing-master': {
    name: 'Master of the Long Firing',
    aliases: ['Firing Master'],
    base: round(40),
    models: 1,
    box: 2900,
  },
  'mould-widow': { name: 'Widow of the Broken Mould', base: round(32), models: 1, box: 2600 },
  'the-unfired': { name: 'The Unfired', aliases: ['Raw Clay Giant'], base: round(80), models: 1, box: 7800 },
  heliograph: { name: 'Heliograph Crew', aliases: ['Mirror Crew'], base: rectangle(60, 60), models: 4 },
  'shard-dancers': { name: 'Shard Dancers', base: round(28), models: 5, box: 3100 },
  'cinder-barge': { name: 'Cinder Barge', aliases: ['Ash Barge'], base: oval(105, 170), models: 1, box: 9900 },
  quenchers: { name: 'Quenchers', aliases: ['Bucket Line'], base: round(32), models: 10, box: 4000 },
} as const satisfies Record<string, Omit<DemoUnit, 'scaleMm'>>

export type UnitKey = keyof typeof ebbYears | keyof typeof kilnfall
const settings = [
  { setting: 'The Ebb Years', scaleMm: 28, units: ebbYears },
  { setting: 'Kilnfall', scaleMm: 32, units: kilnfall },
] as const

const described = settings.flatMap(({ setting, scaleMm, units }) =>
  Object.entries<Omit<DemoUnit, 'scaleMm'>>(units).map(([key, unit]) => ({
    key: key as UnitKey,
    setting,
    scaleMm,
    ...unit,
  })),
)

export type KnownUnit = (typeof described)[number]

/** @throws RangeError for a key that is none, which the types rule out */
export function unitOf(key: UnitKey): KnownUnit {
  const unit = described.find((one) => one.key === key)
  if (!unit) throw new RangeError(key)
  return unit
}

/** Every unit's days since it was written down: all in the group's first weeks. */
const writtenDown = (index: number) => 464 - index

export const baseColumns = (base: Base | null) => ({
  baseShape: base?.[0] ?? null,
  baseWidthMm: base?.[1] ?? null,
  baseLengthMm: base?.[2] ?? null,
})

export function makeUnits({ calendar, id }: Making, memberIds: MemberIds) {
  const random = randomFrom('units')
  const rows = described.map((unit, index): Insertable<Tables['unit']> => {
    const ago = writtenDown(index)
    const createdAt = calendar.at(ago, random.whole(18, 21))
    const { name, setting, scaleMm, aliases = [], models: modelsPerUnit, box } = unit
    const price = { retailPriceMinor: box ?? null, retailPriceCurrency: box === undefined ? null : 'EUR' }
    const columns = {
      name,
      setting,
      scaleMm,
      aliases: [...aliases],
      modelsPerUnit,
      ...baseColumns(unit.base),
      ...price,
    }
    return { id: id(createdAt), ...columns, createdBy: memberIds[somebody(ago, random)], createdAt }
  })
  const ids = Object.fromEntries(described.map(({ key }, index) => [key, rows[index]?.id])) as Record<UnitKey, string>
  return { rows, ids }
}
