import type { Insertable } from 'kysely'
import { z } from 'zod'
import type { Tables } from '../tables.ts'
import type { Making } from './calendar.ts'
import { described, keysOf, maybe } from './described.ts'
import data from './members.json' with { type: 'json' }
import type { Random } from './random.ts'

const shape = z.strictObject({
  name: z.string(),
  mailbox: z.string().describe('before `@demo.example`'),
  role: maybe(z.enum(['member', 'steward', 'owner'])),
  joined: z.int().describe('days ago'),
  unsure: z.number().describe('How often they have no idea what they saw on a failed copy.'),
  packs: maybe(z.boolean()).describe('Whether they fill every plate to the edge.'),
})

export type MemberKey = keyof typeof data

/** The Wednesday Shelf: who they are. All invented, like everything else in this folder. */
export const members = described(shape, data)
export const memberKeys = keysOf(members)

/** Ids by key. */
export type MemberIds = Record<MemberKey, string>

/** @param passwordHash everybody's, so that one may try the service as any of them */
export function makeMembers({ calendar, id }: Making, passwordHash: string) {
  const rows = memberKeys.map((key): Insertable<Tables['member']> => {
    const { name, mailbox, joined, packs, role = 'member' } = members[key]
    const createdAt = calendar.at(joined, 18.5)
    const email = `${mailbox}@demo.example`
    return {
      id: id(createdAt),
      name,
      email,
      passwordHash,
      role,
      defaultCrowding: packs ? 'packed' : 'about full',
      createdAt,
    }
  })
  const ids = Object.fromEntries(memberKeys.map((key, index) => [key, rows[index]?.id])) as MemberIds
  return { rows, ids }
}

/** Somebody who had joined by then. */
export const somebody = (ago: number, random: Random, among: readonly MemberKey[] = memberKeys): MemberKey =>
  random.pick(among.filter((key) => members[key].joined > ago))
