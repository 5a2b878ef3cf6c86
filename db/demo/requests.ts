import type { Insertable } from 'kysely'
import type { Tables } from '../tables.ts'
import { between, later, type Making } from './calendar.ts'
import { type FileKey, fileOf, type MadeFiles } from './files/index.ts'
import { type MemberIds, type MemberKey, memberKeys, members } from './members.ts'
import { type Random, randomFrom, shuffled } from './random.ts'
import type { UnitKey } from './units.ts'

interface DemoRequest {
  asker: MemberKey
  unit: UnitKey
  wanted: number
  mustHaves?: readonly string[]
  /** in cents */
  budget?: number
  /** days ahead of today; negative: days ago */
  neededIn?: number
  remark: string
  /** days ago */
  asked: number
  closed?: { ago: number; on?: FileKey }
  proposals: readonly DemoProposal[]
}

type DemoProposal = readonly [file: FileKey, by: MemberKey, remark: string]

/** Oldest first. */
export const requests: readonly DemoRequest[] = [
  {
    ...{ asker: 'casimir', unit: 'eel-spear-levy', wanted: 20, mustHaves: ['spears'], budget: 2500, asked: 290 },
    ...{
      closed: { ago: 268, on: 'eel-spears-complete' },
      remark: 'Twenty bodies to stand in front of everything else.',
    },
    proposals: [
      ['eel-spears-complete', 'maren', 'Twelve different bodies, so twenty do not look like clones.'],
      ['pressed-hundred', 'ferrin', 'Cheapest by far. The supports want watching.'],
      ['levy-of-the-low-farms', 'ilka', 'Pitchforks, if spears may be pitchforks.'],
    ],
  },
  {
    ...{
      asker: 'ilka',
      unit: 'lantern-drovers',
      wanted: 10,
      mustHaves: ['lanterns'],
      asked: 262,
      closed: { ago: 240 },
    },
    remark: 'Never mind, my cousin is lending me hers for good.',
    proposals: [
      ['drovers-by-lamplight', 'jorun', 'Dogs included.'],
      ['lamp-and-crook', 'signe', 'Fine faces, thin crooks.'],
      ['rushlight-patrol', 'tobiah', 'Wardens by name, but they carry lights.'],
    ],
  },
  {
    ...{
      asker: 'ottoline',
      unit: 'bellows-guard',
      wanted: 5,
      budget: 2000,
      asked: 230,
      closed: { ago: 205, on: 'heavy-breathers' },
    },
    remark: 'For the escalation league. Must survive being dropped.',
    proposals: [
      ['bellows-men', 'pascoe', 'Solid. No thin bits at all.'],
      ['heavy-breathers', 'casimir', 'Masks are great. Add a support under each bellows.'],
    ],
  },
  {
    ...{ asker: 'tobiah', unit: 'sluicegate-giant', wanted: 1, mustHaves: ['gate shield'], budget: 3000, asked: 196 },
    ...{ closed: { ago: 171, on: 'lock-keepers-folly' }, remark: 'One big thing for the middle of the table.' },
    proposals: [
      ['sluicegate-giant', 'jorun', 'Big and cheap for its size. Drill the back.'],
      ['lock-keepers-folly', 'ottoline', 'Came out in one go, all parts.'],
      ['gate-that-walks', 'pascoe', 'The new revision holds. Scale it down.'],
    ],
  },
  {
    ...{ asker: 'anwen', unit: 'crackle-hounds', wanted: 6, asked: 150, closed: { ago: 133, on: 'pack-of-cracks' } },
    remark: 'I have no printer, Ottoline prints for me. So nothing fiddly, please.',
    proposals: [
      ['crazed-pack', 'tobiah', 'Prettier dogs.'],
      ['pack-of-cracks', 'ferrin', 'Free, sturdy, a bit round.'],
    ],
  },
  {
    ...{ asker: 'rufio', unit: 'mould-widow', wanted: 1, budget: 1000, asked: 118, closed: { ago: 109 } },
    remark: 'Found the old box in a drawer. Thanks all the same!',
    proposals: [
      ['widow-with-mould', 'maren', 'The veil prints better than it looks.'],
      ['the-breakage', 'wendel', 'Did mine on the first try.'],
    ],
  },
  {
    ...{ asker: 'ferrin', unit: 'tide-clerks', wanted: 3, mustHaves: ['ledgers'], asked: 71, neededIn: 20 },
    remark: 'Three clerks, the wetter the better.',
    proposals: [
      ['clerks-of-the-low-ledger', 'ottoline', 'They look properly annoyed.'],
      ['three-sodden-clerks', 'ilka', 'Free, and dripping.'],
    ],
  },
  {
    ...{ asker: 'maren', unit: 'slag-ox-riders', wanted: 3, mustHaves: ['goads'], budget: 3000, asked: 54 },
    remark: 'Any beast of burden with horns will do, as long as it looks tired.',
    proposals: [
      ['riders-of-the-tip', 'casimir', 'Third time lucky: 1.2 prints well now.'],
      ['slag-oxen', 'pascoe', 'My favourite. The panniers are separate.'],
      ['tip-cattle', 'rufio', 'Cheap. They are cows, really.'],
    ],
  },
  {
    ...{
      asker: 'jorun',
      unit: 'glaze-pikes',
      wanted: 20,
      mustHaves: ['pikes upright', 'banner'],
      budget: 4500,
      asked: 41,
    },
    ...{ neededIn: 60, remark: 'A block of twenty. They have to rank up, so no arms akimbo.' },
    proposals: [
      ['pikes-of-the-blue-glaze', 'tobiah', 'Second revision at last. Upright pikes, banner, all there.'],
      ['pikes-of-the-yard', 'signe', 'No banner, but they rank up without swearing.'],
      ['long-poles', 'ferrin', 'Free. Levelled pikes only, leave room in front.'],
      ['row-of-pikes', 'casimir', 'Made for 20 mm: glue strips underneath.'],
    ],
  },
  {
    ...{ asker: 'pascoe', unit: 'punt-mortar', wanted: 1, mustHaves: ['crew', 'mortar'], asked: 33 },
    remark: 'One punt, one mortar, at least two people to blame.',
    proposals: [
      ['punt-with-mortar', 'jorun', 'The awning pole needs one more support, that is all.'],
      ['flatboat-battery', 'maren', 'Longer, flatter, no base of its own.'],
    ],
  },
  {
    ...{
      asker: 'rufio',
      unit: 'sump-lamprey',
      wanted: 1,
      mustHaves: ['open maw'],
      budget: 3500,
      asked: 28,
      neededIn: 30,
    },
    remark: 'Something with far too many teeth.',
    proposals: [
      ['old-lamprey', 'wendel', 'It came out in the end. No idea what went wrong before.'],
      ['sow-of-the-sump', 'ottoline', 'Two nights of printing, and worth both.'],
    ],
  },
  {
    ...{
      asker: 'signe',
      unit: 'heron-riders',
      wanted: 5,
      mustHaves: ['lances'],
      budget: 4000,
      asked: 24,
      neededIn: 75,
    },
    remark: 'The birds matter more than the riders.',
    proposals: [
      ['stilt-cavalry', 'casimir', 'Nothing else comes close. Replace the lances with wire.'],
      ['riders-of-the-long-leg', 'pascoe', 'Sturdier legs, prints without drama.'],
      ['grey-leg-riders', 'ilka', 'Take 2.0, not the old one. The old legs were hopeless.'],
      ['wading-knights', 'jorun', 'More goose than heron.'],
    ],
  },
  {
    ...{ asker: 'ilka', unit: 'ember-sweeps', wanted: 5, mustHaves: ['hooks'], budget: 2000, asked: 17, neededIn: 35 },
    remark: 'Hooks they must have, everything else is soot.',
    proposals: [
      ['sweeps-with-hooks', 'tobiah', 'Hook tips are fine since 1.1.'],
      ['flue-crawlers', 'pascoe', 'Only for subscribers just now.'],
      ['soot-choir', 'anwen', 'Brushes, not hooks, and a scale smaller. But look at them sing.'],
    ],
  },
  {
    ...{
      asker: 'signe',
      unit: 'fen-wardens',
      wanted: 10,
      mustHaves: ['bows', 'banner'],
      budget: 3000,
      asked: 13,
      neededIn: 40,
    },
    remark: 'Ten for the next campaign. The box is beyond me; they only have to read as wardens from across the table.',
    proposals: [
      ['reed-sentries', 'tobiah', 'Second revision prints clean. The hoods are just right.'],
      ['bog-bows', 'ferrin', 'Free. Soft faces, but who looks at faces.'],
      ['quiet-wardens', 'maren', 'Dearer, and worth it. The banner is a piece of its own.'],
      ['sedge-walkers', 'rufio', 'Cheap, once somebody sorts that arm out.'],
      ['watch-on-the-dyke', 'ottoline', 'Best looking of the lot, but it takes a month of their membership.'],
      ['fen-pickets', 'jorun', 'Gone from everywhere. If you still have them, look no further.'],
    ],
  },
  {
    ...{
      asker: 'signe',
      unit: 'the-unfired',
      wanted: 1,
      mustHaves: ['separate arms'],
      budget: 2500,
      asked: 2,
      neededIn: 90,
    },
    ...{ remark: 'I would like to paint the arms apart from the body. Anything lumpy welcome.', proposals: [] },
  },
]

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
    ...{
      id: requestId,
      askerId: ids.members[asker],
      unitId: ids.units[unit],
      wanted,
      mustHaves: [...mustHaves],
      remark,
    },
    ...{ budgetMinor: budget ?? null, budgetCurrency: budget === undefined ? null : 'EUR' },
    neededBy: neededIn === undefined ? null : calendar.day(-neededIn),
    ...{ state: closed ? (closed.on ? 'settled' : 'withdrawn') : 'open', closedAt },
    ...{ settledFileId: closed?.on ? ids.files[closed.on] : null, createdAt, version: closed ? 2 : 1 },
  })
  const end = closedAt ?? calendar.end
  let proposedAt = createdAt
  for (const [file, by, words] of request.proposals) {
    proposedAt = between(later(proposedAt, 60), new Date((proposedAt.getTime() * 4 + end.getTime()) / 5), random)
    const proposalId = id(proposedAt)
    const covers = mustHaves.filter((one) => fileOf(file).model.options?.includes(one))
    made.proposals.push({
      ...{ id: proposalId, requestId, fileId: ids.files[file], proposerId: ids.members[by], covers, remark: words },
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
