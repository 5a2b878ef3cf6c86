import type { Insertable } from 'kysely'
import type { Role, Tables } from '../tables.ts'
import type { Making } from './calendar.ts'
import type { Random } from './random.ts'

interface DemoMember {
  name: string
  /** before `@demo.example` */
  mailbox: string
  role?: Role
  /** days ago */
  joined: number
  /** How often they have no idea what they saw on a failed copy. */
  unsure: number
  /** Whether they fill every plate to the edge. */
  packs?: true
}

/** The Wednesday Shelf: who they are. All invented, like everything else in this folder. */
export const members = {
  maren: { name: 'Maren', mailbox: 'owner', role: 'owner', joined: 470, unsure: 0.1 },
  tobiah: { name: 'Tobiah', mailbox: 'steward', role: 'steward', joined: 468, unsure: 0.05 },
  signe: { name: 'Signe', mailbox: 'asker', joined: 455, unsure: 0.15 },
  casimir: { name: 'Casimir', mailbox: 'printer', joined: 460, unsure: 0.06 },
  ottoline: { name: 'Ottoline', mailbox: 'ottoline', joined: 452, unsure: 0.08 },
  ferrin: { name: 'Ferrin', mailbox: 'ferrin', joined: 440, unsure: 0.2 },
  wendel: { name: 'Wendel', mailbox: 'wendel', joined: 431, unsure: 0.9 },
  ilka: { name: 'Ilka', mailbox: 'ilka', joined: 425, unsure: 0.1 },
  jorun: { name: 'Jorun', mailbox: 'jorun', joined: 418, unsure: 0.12, packs: true },
  pascoe: { name: 'Pascoe', mailbox: 'pascoe', joined: 402, unsure: 0.1 },
  anwen: { name: 'Anwen', mailbox: 'anwen', joined: 395, unsure: 0.1 },
  rufio: { name: 'Rufio', mailbox: 'rufio', joined: 214, unsure: 0.15 },
} as const satisfies Record<string, DemoMember>

export type MemberKey = keyof typeof members
export const memberKeys = Object.keys(members) as MemberKey[]
export const memberOf = (key: MemberKey): DemoMember => members[key]

/** Ids by key. */
export type MemberIds = Record<MemberKey, string>

/** @param passwordHash everybody's, so that one may try the service as any of them */
export function makeMembers({ calendar, id }: Making, passwordHash: string) {
  const rows = memberKeys.map((key): Insertable<Tables['member']> => {
    const { name, mailbox, joined, packs, role = 'member' } = memberOf(key)
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
