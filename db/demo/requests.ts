import type { Insertable } from 'kysely'
import { z } from 'zod'
import type { Tables } from '../tables.ts'
import { between, later, type Making } from './calendar.ts'
import { keyIn, maybe } from './described.ts'
import { files } from './files/described.ts'
import { type FileKey, fileOf, type MadeFiles } from './files/index.ts'
import { type MemberIds, type MemberKey, memberKeys, members } from './members.ts'
import { type Random, randomFrom, shuffled } from './random.ts'
import data from './requests.json' with { type: 'json' }
import { type UnitKey, units } from './units.ts'

const shape = z.strictObject({
  asker: keyIn(members),
  unit: keyIn(units),
  wanted: z.int(),
  mustHaves: maybe(z.array(z.string())),
  budget: maybe(z.int()).describe('in cents'),
  neededIn: maybe(z.int()).describe('days ahead of today; negative: days ago'),
  remark: z.string(),
  asked: z.int().describe('days ago'),
  closed: maybe(z.strictObject({ ago: z.int(), on: maybe(keyIn(files)) })),
  proposals: z.array(z.tuple([keyIn(files), keyIn(members), z.string()])).describe('file, by whom, remark'),
})
type DemoRequest = z.infer<typeof shape>

/** The last ones were added later: whoever votes on the others stays as it was. */
export const requests = z.array(shape).parse(data)

/** Files that a member is still being offered, and so has not printed. */
export const stillOffered = (member: MemberKey): ReadonlySet<FileKey> =>
  new Set(
    requests
      .filter(({ asker, closed }) => asker === member && !closed)
      .flatMap((one) => one.proposals.map(([file]) => file)),
  )

export interface MadeRequests {
  rows: Insertable<Tables['request']>[]
  proposals: Insertable<Tables['proposal']>[]
  votes: Insertable<Tables['vote']>[]
}

type Ids = { members: MemberIds; units: Record<UnitKey, string>; files: MadeFiles['ids'] }

export function makeRequests(making: Making, ids: Ids): MadeRequests {
  const random = randomFrom('requests')
  const made: MadeRequests = { rows: [], proposals: [], votes: [] }
  for (const request of requests) addRequest(making, made, request, ids, random)
  return made
}

function addRequest(
  { calendar, id }: Making,
  made: MadeRequests,
  request: DemoRequest,
  ids: Ids,
  random: Random,
): void {
  const { asker, unit, wanted, mustHaves = [], budget, neededIn, remark, asked, closed } = request
  const createdAt = later(calendar.at(asked, 19), random.whole(0, 120))
  const closedAt = closed ? later(calendar.at(closed.ago, 19), random.whole(0, 120)) : null
  const requestId = id(createdAt)
  made.rows.push({
    id: requestId,
    askerId: ids.members[asker],
    unitId: ids.units[unit],
    wanted,
    mustHaves: [...mustHaves],
    remark,
    budgetMinor: budget ?? null,
    budgetCurrency: budget === undefined ? null : 'EUR',
    neededBy: neededIn === undefined ? null : calendar.day(-neededIn),
    state: closed ? (closed.on ? 'settled' : 'withdrawn') : 'open',
    closedAt,
    settledFileId: closed?.on ? ids.files[closed.on] : null,
    createdAt,
    version: closed ? 2 : 1,
  })
  const end = closedAt ?? calendar.end
  let proposedAt = createdAt
  for (const [file, by, words] of request.proposals) {
    proposedAt = between(later(proposedAt, 60), new Date((proposedAt.getTime() * 4 + end.getTime()) / 5), random)
    const proposalId = id(proposedAt)
    const covers = mustHaves.filter((one) => fileOf(file).model.options?.includes(one))
    made.proposals.push({
      id: proposalId,
      requestId,
      fileId: ids.files[file],
      proposerId: ids.members[by],
      covers,
      remark: words,
      createdAt: proposedAt,
    })
    made.votes.push(...votesOn({ proposalId, file, from: proposedAt, to: end, asked }, ids, random))
  }
}

interface Asked {
  proposalId: string
  file: FileKey
  from: Date
  to: Date
  asked: number
}

/** Most members answer, and about as many say yes as the file's looks deserve. */
function votesOn({ proposalId, file, from, to, asked }: Asked, ids: Ids, random: Random): Insertable<Tables['vote']>[] {
  const voters = memberKeys.filter((key) => members[key].joined > asked && random.happens(0.78))
  const yes = Math.round(voters.length * fileOf(file).about.looks + 1.5 * (random.next() - 0.5))
  return shuffled(voters, random).map((key, index) => {
    const createdAt = between(from, to, random)
    return { proposalId, memberId: ids.members[key], wouldField: index < yes, createdAt }
  })
}
