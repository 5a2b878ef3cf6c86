import { type RawBuilder, sql } from 'kysely'
import type { Db } from '../../db/connect.ts'
import { fill, id, idOf, make } from './group.ts'

/*
 * A whole group around the plates of group.ts: members with four printers each, files whose titles are words, units,
 * requests with answers and votes, offers, snags and archives. The database makes them itself, always the same.
 */

export interface Shelf {
  files: number
  plates: number
  members: number
  requests: number
}

export const shelves = {
  small: { files: 400, plates: 2000, members: 30, requests: 40 },
  large: { files: 100_000, plates: 300_000, members: 5000, requests: 10_000 },
} satisfies Record<string, Shelf>

const printersEach = 4
const standIns = 200
const answers = { few: 4, many: 40 }
const reports = { few: 10, many: 500 }

/** Of a member who reports about as much as the average: the first ones do far more. */
export const emailOfMember = ({ members }: Shelf) => `member${Math.floor(members / 4)}@group.example`

/** The paths of what is looked at. */
export const pathsOf = ({ files }: Shelf) => ({
  request: { few: `/requests/${idOf('request', 0)}`, many: `/requests/${idOf('request', 1)}` },
  unit: `/units/${idOf('unit', 0)}`,
  file: { few: `/files/${idOf('file', files - 2)}`, many: `/files/${idOf('file', files - 1)}` },
})

const first =
  'Ashen,Brine,Cinder,Drowned,Ember,Fallow,Gilded,Hollow,Iron,Jade,Kindled,Lantern,Moor,Night,Oaken,Pale,Quarry,Rust,Salt,Thorn'
const second =
  'Archer,Bearer,Captain,Diver,Envoy,Ferryman,Guard,Herald,Initiate,Juggler,Keeper,Levy,Marshal,Novice,Oarsman,Piper,Reeve,Sentinel,Trapper,Warden'
const third = 'with lamp,on stilts,kneeling,at rest,in mail,with hook,with banner,running,on a rock,with hound'

const wordOf = (words: string, number: string) =>
  sql`(string_to_array(${sql.lit(words)}, ','))[1 + ${sql.raw(number)} % ${sql.lit(words.split(',').length)}]`
/** Of row n: words that come back every 4,000 rows, and which time it is. */
const title = sql`concat_ws(' ', ${wordOf(first, 'n')}, ${wordOf(second, 'n / 20')}, ${wordOf(third, 'n / 400')}, n / 4000 + 1)`

/** @param ownerId whoever set the group up */
export async function furnish(db: Db, shelf: Shelf, ownerId: string): Promise<void> {
  await fill(db, { ...shelf, printers: printersEach * shelf.members }, ownerId)
  await make(db, [
    ...membersOf(shelf, ownerId),
    ...catalogueOf(shelf, ownerId),
    ...requestsOf(shelf, ownerId),
    ...reportsOn(shelf.files - 1, reports.many, 0),
    ...reportsOn(shelf.files - 2, reports.few, reports.many),
  ])
}

const upTo = (count: number) => sql`generate_series(0, ${sql.lit(count - 1)}) n`
const made = (kind: string) => `('x' || right(${kind}.id::text, 8))::bit(32)::int`

const membersOf = ({ members }: Shelf, ownerId: string): RawBuilder<unknown>[] => [
  sql`insert into member (id, name, email, password_hash, role)
    select ${id('member', 'n')}, 'Member ' || n, 'member' || n || '@group.example', owner.password_hash, 'member'
    from ${upTo(members)}, member owner where owner.id = ${ownerId}`,
  sql`update printer set owner_id = ${id('member', `${made('printer')} / ${printersEach}`)}`,
  sql`update plate set member_id = printer.owner_id from printer where printer.id = plate.printer_id`,
]

const catalogueOf = ({ files, members, requests }: Shelf, ownerId: string): RawBuilder<unknown>[] => [
  sql`update file set title = own.title, search = plain(own.title) || ' / ' || plain(sculptor.name), height_mm = 30 + n % 40, resin_ml = 4 + n % 13, scale_mm = 32,
      base_shape = 'round', base_width_mm = 25 + n % 15, options = array['helmet', 'bare head']
    from (select n, ${id('file', 'n')} as id, ${title} as title from ${upTo(files)}) own, sculptor
    where file.id = own.id and sculptor.id = file.sculptor_id`,
  sql`insert into unit (id, name, scale_mm, models_per_unit, created_by)
    select ${id('unit', 'n')}, ${title} || ' band', 32, 10, ${ownerId} from ${upTo(requests / 4)}`,
  // The first unit has so many; every other one its share of the files.
  sql`insert into file_unit (file_id, unit_id) select ${id('file', 'n')}, ${id('unit', '0')} from ${upTo(standIns)}`,
  sql`insert into file_unit (file_id, unit_id)
    select ${id('file', 'n')}, ${id('unit', `1 + n % ${requests / 4 - 1}`)} from ${upTo(files)}`,
  sql`insert into offer (id, kind, price_minor, price_currency, url, state, seen_on, created_by)
    select ${id('offer', 'n')}, 'purchase', 300 + n % 900, 'EUR', 'https://shop' || n % 50 || '.example/' || n, 'on sale',
      date '2026-01-01', ${ownerId} from ${upTo(files)}`,
  sql`insert into offer_file (offer_id, file_id) select ${id('offer', 'n')}, ${id('file', 'n')} from ${upTo(files)}`,
  sql`insert into snag (id, file_id, revision_id, kind, severity, part, minutes, detail, created_by)
    select ${id('snag', 'n')}, ${id('file', '3 * n')}, ${id('revision', '3 * n')}, 'too light supports', 'costs time',
      'left hand', 15, 'Add two under the wrist.', ${ownerId} from ${upTo(Math.floor(files / 3))}`,
  sql`insert into archive (member_id, file_id)
    select distinct ${id('member', `n % ${members}`)}, ${id('file', `n * 11 % ${files}`)} from ${upTo(10 * members)}`,
]

const requestsOf = ({ files, members, requests }: Shelf, _ownerId: string): RawBuilder<unknown>[] => [
  sql`insert into request (id, asker_id, unit_id, wanted, remark, must_haves)
    select ${id('request', 'n')}, ${id('member', `n % ${members}`)}, ${id('unit', `1 + n % ${requests / 4 - 1}`)}, 10,
      'Something that looks the part.', array['helmet'] from ${upTo(requests)}`,
  sql`insert into proposal (id, request_id, file_id, proposer_id, covers)
    select ${id('proposal', '64 * n + place')}, ${id('request', 'n')}, ${id('file', `(7 * n + 5 * place) % ${files - 2}`)},
      ${id('member', `(n + place) % ${members}`)}, array['helmet']
    from ${upTo(requests)}, generate_series(1, case n when 1 then ${sql.lit(answers.many)} else ${sql.lit(answers.few)} end) place`,
  sql`insert into vote (proposal_id, member_id, would_field)
    select proposal.id, ${id('member', `3 * n % ${members}`)}, n % 3 > 0 from proposal, ${upTo(9)}`,
  sql`update vote_count set (yes, no) = (
    select count(*) filter (where would_field), count(*) filter (where not would_field) from vote
  )`,
]

/** Has a file so many of the plates, from one on, and no others. */
const reportsOn = (file: number, count: number, from: number): RawBuilder<unknown>[] => [
  sql`update print set support_set_id = ${id('set', '0')} where support_set_id = ${idOf('set', file)}`,
  sql`update print set support_set_id = ${idOf('set', file)}
    where id between ${idOf('plate', from)} and ${idOf('plate', from + count - 1)}`,
]
