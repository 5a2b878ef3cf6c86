import { sql } from 'kysely'
import { validate, version } from 'uuid'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Db } from '../../db/connect.ts'
import { makeDemo } from '../../db/demo/index.ts'
import { demoPictures } from '../../db/demo/pictures.ts'
import { shows } from '../../db/demo/plates.ts'
import { hash, randomFrom, xorshift } from '../../db/demo/random.ts'
import { groupModel, refit, successOfFiles } from '../../server/features/evidence/queries.ts'
import { machineByPeriod } from '../../server/features/printing/printers/machines.ts'
import { seenLabels } from '../../server/scoring/labels.ts'
import { freshDatabase } from '../support/database.ts'
import { leastMs, processorMs, yardstick } from '../support/growth.ts'

const today = '2026-03-01'
const demo = { today, passwordHash: 'not a real hash' }
const database = await freshDatabase()
const { db } = database
let tookMs = 0

beforeAll(async () => {
  tookMs = await processorMs(() => makeDemo(db, demo))
})
afterAll(() => database.close())

/** Rows of a query written out; for looking at the demo across its tables. */
async function rows<Row>(query: string, on: Db = db): Promise<Row[]> {
  return (await sql.raw<Row>(query).execute(on)).rows
}

const count = async (what: string) => (await rows<{ n: number }>(`select count(*) n from ${what}`))[0]?.n

/** Nothing of what this query finds should be there. */
const none = async (query: string) => expect(await rows(query)).toEqual([])

/** Told plates with their prints: r is the plate, x its print. */
const printed = `plate r join print x on x.plate_id = r.id
  join support_set s on s.id = x.support_set_id join revision v on v.id = s.revision_id join file f on f.id = v.file_id
  join printer p on p.id = r.printer_id join printer_period q on q.id = r.printer_period_id`

describe('the demo group', () => {
  test('has the promised size', async () => {
    const wanted = {
      member: 12,
      unit: 27,
      sculptor: 12,
      file: 70,
      offer: 140,
      request: 19,
      'plate where told': 400,
      printer: 14,
    }
    const found = await Promise.all(Object.keys(wanted).map(async (table) => [table, await count(table)] as const))
    expect(Object.fromEntries(found)).toEqual(wanted)
  })

  // By the yardstick, on a core that has nothing else to do.
  test('is there within four seconds', async () => expect(tookMs / (await leastMs(yardstick))).toBeLessThan(800))

  test('says that it is a demo, and pays in euros', async () => {
    const [group] = await db.selectFrom('groupSettings').selectAll().execute()
    expect(group).toMatchObject({ isDemo: true, currency: 'EUR', locale: 'en-GB' })
  })

  test('can be signed in to by role', async () => {
    const found = await db.selectFrom('member').select(['email', 'role', 'passwordHash']).orderBy('id').execute()
    const roles = Object.fromEntries(found.map(({ email, role }) => [email.split('@')[0], role]))
    expect(roles).toMatchObject({ owner: 'owner', steward: 'steward', asker: 'member', printer: 'member' })
    expect(found.every(({ email }) => email.endsWith('@demo.example'))).toBe(true)
    expect(new Set(found.map(({ passwordHash }) => passwordHash))).toEqual(new Set([demo.passwordHash]))
  })

  test('has everything of every kind', async () => {
    const kinds = async (columns: string, table: string) =>
      (await rows<{ k: string }>(`select distinct ${columns} k from ${table} order by 1`)).map(({ k }) => k)
    expect(await kinds('kind', 'support_set')).toEqual(['as supplied', 'extra supports', 'own supports'])
    expect(await kinds('kind', 'offer')).toEqual(['bundle', 'free', 'membership', 'purchase'])
    expect(await kinds('state', 'offer')).toEqual(['members only', 'on sale', 'withdrawn'])
    expect(await kinds('kind', 'snag')).toHaveLength(8)
    expect(await kinds('severity', 'snag')).toEqual(['costs time', 'only looks', 'stops the print'])
    expect(await kinds('state', 'snag')).toEqual(['mended', 'open', 'the sculptor knows'])
    expect(await kinds('kind', 'upkeep')).toHaveLength(5)
    expect(await kinds('seen', 'print_failure')).toHaveLength(8)
    expect(await kinds('crowding', 'plate')).toEqual(['about full', 'half empty', 'packed'])
    expect(await kinds('state', 'request')).toEqual(['open', 'settled', 'withdrawn'])
    expect(await kinds('base_shape', 'unit')).toEqual(['oval', 'rectangle', 'round'])
    expect(await kinds('scale_mm', 'unit')).toEqual([28, 32])
    expect(await kinds('setting', 'unit')).toHaveLength(2)
    expect(await kinds('f', 'file, unnest(formats) f')).toEqual(['3mf', 'obj', 'slicer project', 'stl'])
    expect(await kinds('state', 'printer')).toEqual(['in use', 'retired'])
  })
})

describe('stories', () => {
  test('one file has nothing but withdrawn offers, and members who still have it', async () => {
    const gone = await rows<{ title: string; held: number }>(`select title,
      (select count(*) from archive a where a.file_id = f.id) held from file f
      where exists (select from offer_file x where x.file_id = f.id) and not exists (select from offer_file x
        join offer o on o.id = x.offer_id where x.file_id = f.id and o.state <> 'withdrawn')`)
    expect(gone).toEqual([{ title: 'Fen Pickets', held: 3 }])
  })

  test('one sculptor asked not to be named, and only the name itself and links tell it', async () => {
    const unnamed = await db.selectFrom('sculptor').select('name').where('credit', '=', 'unnamed').execute()
    expect(unnamed).toEqual([{ name: 'Hollis Grebe' }])
    const all = await everyRow(db)
    const telling = Object.entries(all).filter(([, some]) => /hollis|grebe/i.test(JSON.stringify(some)))
    expect(telling.map(([table]) => table)).toEqual(['offer', 'sculptor'])
    await none(`select title from offer where title ~* 'hollis|grebe'`)
    // A bundle that opens a file of theirs beside one of somebody else's: the link must not show there either
    expect(
      await count(`offer o where kind = 'bundle' and 2 = (select count(distinct sculptor_id) from offer_file x
        join file f on f.id = x.file_id where x.offer_id = o.id)`),
    ).toBe(1)
  })

  test('a file comes by membership alone; memberships run; bundles open several files', async () => {
    expect(
      await rows(`select title from file f where exists (select from offer_file x where x.file_id = f.id)
        and not exists (select from offer_file x join offer o on o.id = x.offer_id
          where x.file_id = f.id and o.kind <> 'membership')`),
    ).toEqual([{ title: 'Watch on the Dyke' }])
    expect(await count('running_membership')).toBe(5)
    await none(`select o.id from offer o where kind in ('bundle', 'membership')
      and (select count(*) from offer_file x where x.offer_id = o.id) < 2`)
    await none(`select o.id from offer o where kind in ('purchase', 'free')
      and (select count(*) from offer_file x where x.offer_id = o.id) <> 1`)
  })

  test('prices in other currencies have a rate, and every offer its past', async () => {
    const foreign = await rows<{ c: string }>(
      `select distinct price_currency c from offer where price_currency <> 'EUR'`,
    )
    expect(foreign.map(({ c }) => c).sort()).toEqual(['GBP', 'JPY', 'USD'])
    await none(`select id from offer where price_currency <> 'EUR'
      and price_currency not in (select currency from rate where seen_on <= '${today}')`)
    // What an offer says now is what was seen last
    await none(`select o.id from offer o join lateral (select * from offer_price p
        where p.offer_id = o.id order by p.seen_on desc, p.id desc limit 1) last on true
      where (o.price_minor, o.price_currency, o.state, o.seen_on)
        is distinct from (last.price_minor, last.price_currency, last.state, last.seen_on)`)
    await none('select id from offer except select offer_id from offer_price')
    expect(await count('(select offer_id from offer_price group by 1 having count(*) >= 3) x')).toBeGreaterThan(10)
  })

  test('the asker waits: open requests, two of them new and without an answer', async () => {
    const asked = await rows<{ unit: string; proposals: number }>(`select u.name unit,
      (select count(*) from proposal p where p.request_id = r.id) proposals from request r
      join unit u on u.id = r.unit_id join member m on m.id = r.asker_id
      where m.email = 'asker@demo.example' and r.state = 'open' order by r.id`)
    expect(asked).toEqual([
      { unit: 'Heron Riders', proposals: 4 },
      { unit: 'Fen Wardens', proposals: 6 },
      { unit: 'The Unfired', proposals: 0 },
      { unit: 'Choir at the Weir', proposals: 0 },
    ])
    await none(`select r.id from request r where (select count(*) from proposal p where p.request_id = r.id)
      not between 2 and 6 and r.created_at < date '${today}' - 2`)
  })

  test('there is enough for a wall: a unit with a dozen stand-ins, a request with six answers', async () => {
    const [most] = await rows<{ files: number }>(
      'select count(*) files from file_unit group by unit_id order by 1 desc',
    )
    expect(most?.files).toBeGreaterThanOrEqual(12)
    const [asked] = await rows<{ n: number }>('select count(*) n from proposal group by request_id order by 1 desc')
    expect(asked?.n).toBeGreaterThanOrEqual(6)
  })

  test('the models of an army have come differently far, and its prints are the owner’s, of the entry’s unit', async () => {
    const [army] = await rows<{ models: number; printed: number; built: number; painted: number }>(`select
      sum(models) models, sum(printed) printed, sum(built) built, sum(painted) painted from (select e.*,
        coalesce((select sum(good + mended) from roster_print y join print x on x.id = y.print_id
          where y.entry_id = e.id), 0) printed from roster_entry e) x`)
    const { models = 0, printed = 0, built = 0, painted = 0 } = army ?? {}
    const farthestLast = [models, printed, built, painted]
    expect(new Set(farthestLast).size).toBe(4)
    expect(farthestLast).toEqual(farthestLast.toSorted((one, other) => other - one))
    expect(painted).toBeGreaterThan(0)
    await none(`select y.print_id from roster_print y join roster_entry e on e.id = y.entry_id
      join roster o on o.id = e.roster_id join print z on z.id = y.print_id join plate w on w.id = z.plate_id
      join support_set s on s.id = z.support_set_id join revision v on v.id = s.revision_id
      where w.member_id <> o.owner_id or not exists (select from file_unit x
        where x.file_id = v.file_id and x.unit_id = e.unit_id)`)
    await none(`select id from roster_entry e where built > (select coalesce(sum(good + mended), 0)
      from roster_print y join print x on x.id = y.print_id where y.entry_id = e.id)`)
  })

  // Common practice, no source: supports, rafts and what stays on the plate add a third to a half, and as much again to
  // what is very small.
  test('what is noted of a file fits what was measured of its models', async () => {
    const both = await rows<{
      title: string
      resin: number
      volume: number
      noted: number
      tall: number
    }>(`select title,
      resin_ml resin, volume_ml volume, f.height_mm noted, m.height_mm tall from file f
      join revision v on v.file_id = f.id join measure m on m.revision_id = v.id`)
    expect(both).toHaveLength(67)
    for (const { title, resin, volume, noted, tall } of both) {
      expect(resin / volume, title).toBeGreaterThan(1)
      expect(resin / volume, title).toBeLessThan(2.5)
      expect(Math.abs(noted / tall - 1), title).toBeLessThan(0.05)
    }
  })

  test('requests are answered by stand-ins of their unit, covering what their options cover', async () => {
    await none(`select p.id from proposal p join request r on r.id = p.request_id
      where not exists (select from file_unit x where x.file_id = p.file_id and x.unit_id = r.unit_id)`)
    await none(`select p.id from proposal p join request r on r.id = p.request_id join file f on f.id = p.file_id
      where not (p.covers <@ r.must_haves and p.covers <@ f.options)`)
    await none(`select r.id from request r where state = 'settled' and not exists
      (select from proposal p where p.request_id = r.id and p.file_id = r.settled_file_id)`)
  })

  test('old supports are worse than the revisions that mended them', async () => {
    const [ratio] = await rows<{ before: number; after: number }>(`select
      (sum(good) filter (where old))::float / sum(tried) filter (where old) before,
      (sum(good) filter (where not old))::float / sum(tried) filter (where not old) after
      from (select x.*, exists (select from snag n where n.file_id = f.id and n.revision_id = v.id
          and n.mended_in_revision_id is not null) old,
        exists (select from snag n where n.mended_in_revision_id = v.id) mends from ${printed}
        where s.kind = 'as supplied') x where old or mends`)
    expect(ratio?.before).toBeLessThan(0.65)
    expect(ratio?.after).toBeGreaterThan(0.75)
  })

  test("the printer-side member's film is worn: half of a plate is missing", async () => {
    const [worn] = await rows<{ success: number; machine: number }>(`select sum(good)::float / sum(tried) success,
      (select sum(copies) filter (where seen in ('nothing stuck to the plate', 'one side of the plate only',
          'stuck to the film'))::float / sum(copies) from print_failure e join print y on y.id = e.print_id join plate z on z.id = y.plate_id
        where z.printer_period_id = q.id) machine
      from ${printed} join member m on m.id = p.owner_id where m.email = 'printer@demo.example'
        and p.id = m.default_printer_id
      group by q.id, q.starts_on order by q.starts_on desc nulls last limit 1`)
    expect(worn?.success).toBeLessThan(0.65)
    expect(worn?.machine).toBeGreaterThan(0.4)
    const [others] = await rows<{ success: number }>(`select sum(good)::float / sum(tried) success from ${printed}
      where p.name in ('Moth', 'Blue Lid', 'Pickle', 'Grandfather') and q.starts_on is not null`)
    expect(others?.success).toBeGreaterThan(0.7)
  })
})

describe('plates', () => {
  test('some hold several prints, of different files', async () => {
    const several = await rows<{ n: number }>(`select count(*) n from print group by plate_id having count(*) > 1`)
    expect(several.length).toBeGreaterThan(25)
    expect(several.filter(({ n }) => n > 2).length).toBeGreaterThan(3)
    await none(`select r.id from ${printed} group by r.id having count(*) <> count(distinct f.id)`)
  })

  test('some failed copies were mended, some of them by the clock', async () => {
    expect(await count('print where mended > 0')).toBeGreaterThan(15)
    expect(await count('print where mended_minutes is not null')).toBeGreaterThan(5)
    expect(await count('print where mended > 0 and mended_minutes is null')).toBeGreaterThan(3)
  })

  test('one is still wet: the printer-side member has not told yet what was on it', async () => {
    const wet = await rows(`select m.email, p.name, r.printed_on - date '${today}' d from plate r
      join member m on m.id = r.member_id join printer p on p.id = r.printer_id where not told`)
    expect(wet).toEqual([{ email: 'printer@demo.example', name: 'Little Ox', d: -1 }])
    await none('select id from plate where told = exists (select from print where plate_id = plate.id) is false')
  })
})

describe('the year holds together', () => {
  test('good and failed copies are those tried', async () => {
    await none(`select x.id from print x where good + coalesce((select sum(copies) from print_failure e
      where e.print_id = x.id), 0) <> tried`)
    expect(await count(`print_failure where seen = 'don''t know'`)).toBeGreaterThan(20)
  })

  test('nothing happens in the future, and everything within the year or two that the group exists', async () => {
    const tables = await rows<{
      t: string
      c: string
      type: string
    }>(`select table_name t, column_name c, data_type type
      from information_schema.columns where table_schema = 'public' and table_name not like 'kysely%'
      and data_type in ('date', 'timestamp with time zone') and column_name not in ('needed_by', 'expires_at')`)
    expect(tables.length).toBeGreaterThan(20)
    for (const { t, c } of tables) await none(`select '${t}' from ${t} where ${c} >= '${today}'`)
    await none(`select id from plate where printed_on < date '${today}' - 365`)
    await none(`select id from request where state = 'open' and needed_by < '${today}'`)
  })

  test('nobody prints before the supports, the printer or the membership of the group were there', async () => {
    await none(`select r.id from ${printed} join member m on m.id = r.member_id where r.printed_on < s.created_at::date
      or r.printed_on < v.released_on or r.printed_on < p.created_at::date or r.printed_on < m.created_at::date
      or r.created_at < r.printed_on`)
  })

  test('members report on their own printers, and have what they print', async () => {
    await none(`select r.id from ${printed} where r.member_id <> p.owner_id`)
    await none(`select r.id from ${printed} where not exists (select from archive a
      where a.member_id = r.member_id and a.file_id = f.id and a.created_at::date <= r.printed_on)`)
  })

  test('a report belongs to the upkeep period of its day, and each day of upkeep starts one', async () => {
    await none(`select r.id from ${printed} where r.printer_id <> q.printer_id or q.starts_on is distinct from
      (select max(starts_on) from printer_period y where y.printer_id = p.id and y.starts_on <= r.printed_on)`)
    await none(`select printer_id, done_on from upkeep except select printer_id, starts_on from printer_period`)
    await none(`select printer_id, starts_on from printer_period where starts_on is not null
      except select printer_id, done_on from upkeep`)
    await none(`select id from printer except select printer_id from printer_period where starts_on is null`)
  })

  test('snags, proposals, votes and prices come after what they are about', async () => {
    await none(`select n.id from snag n join revision v on v.id = n.revision_id where n.created_at < v.created_at
      or v.file_id <> n.file_id`)
    await none(`select n.id from snag n join revision v on v.id = n.mended_in_revision_id
      where v.created_at < n.created_at or v.file_id <> n.file_id`)
    await none(`select p.id from proposal p join request r on r.id = p.request_id join file f on f.id = p.file_id
      where p.created_at < r.created_at or p.created_at < f.created_at or p.created_at > r.closed_at`)
    await none(`select o.proposal_id from vote o join proposal p on p.id = o.proposal_id
      join request r on r.id = p.request_id where o.created_at < p.created_at or o.created_at > r.closed_at`)
    await none(`select x.offer_id from offer_file x join offer o on o.id = x.offer_id join file f on f.id = x.file_id
      where o.created_at < f.created_at`)
    await none(`select y.id from offer_price y join offer o on o.id = y.offer_id where y.created_at < o.created_at`)
  })

  test('members do nothing before they have joined', async () => {
    const by = await rows<{ t: string; c: string }>(`select table_name t, column_name c from information_schema.columns
      where table_schema = 'public' and column_name in ('created_by', 'asker_id', 'proposer_id', 'member_id', 'owner_id')
      and table_name in (select table_name from information_schema.columns where column_name = 'created_at')`)
    expect(by.length).toBeGreaterThan(10)
    for (const { t, c } of by) {
      await none(`select '${t}' from ${t} x join member m on m.id = x.${c} where x.created_at < m.created_at`)
    }
  })

  // Layout of the 48 bits of time, version and variant: RFC 9562, section 5.7
  test('ids are UUIDs of version 7 of the row’s own time', async () => {
    const withIds = await rows<{ t: string }>(`select table_name t from information_schema.columns
      where table_schema = 'public' and column_name in ('id', 'created_at') group by 1 having count(*) = 2`)
    expect(withIds.length).toBeGreaterThan(10)
    for (const { t } of withIds) {
      const found = await rows<{ id: string; createdAt: Date }>(`select id, created_at from ${t} order by id`)
      expect(found.every(({ id }) => validate(id) && version(id) === 7)).toBe(true)
      const times = found.map(({ id }) => Number.parseInt(id.replace('-', '').slice(0, 12), 16))
      expect(times).toEqual(found.map(({ createdAt }) => createdAt.getTime()))
    }
  })

  test('nothing is scored yet', async () => {
    await none('select file_id from line_draws')
    await none('select period_id from period_draws')
    await none('select fit from scoring_fit where fitted_at is not null')
  })
})

/** Every table's rows, in an order of their own. */
async function everyRow(on: Db): Promise<Record<string, unknown[]>> {
  const tables = await rows<{ t: string }>(
    `select tablename t from pg_tables where schemaname = 'public'
    and tablename not like 'kysely%' order by 1`,
    on,
  )
  const all: Record<string, unknown[]> = {}
  for (const { t } of tables) all[t] = await rows(`select * from ${t} x order by x::text`, on)
  return all
}

describe('made again', () => {
  test('on the same day it is the same to the last id; on another day the same story at other dates', async () => {
    const again = await freshDatabase()
    const later = await freshDatabase()
    try {
      await makeDemo(again.db, demo)
      await makeDemo(later.db, { ...demo, today: '2027-11-15' })
      expect(await everyRow(again.db)).toEqual(await everyRow(db))
      const told = `select p.name, x.tried, x.good, x.mended, r.remark, r.crowding, f.title from ${printed} order by x.id`
      expect(await rows(told, later.db)).toEqual(await rows(told))
      expect(await rows(`select max(printed_on) - date '2027-11-15' d from plate`, later.db)).toEqual(
        await rows(`select max(printed_on) - date '${today}' d from plate`),
      )
    } finally {
      await again.close()
      await later.close()
    }
  })

  test('is all or nothing', async () => {
    const before = await everyRow(db)
    await expect(makeDemo(db, { ...demo, today: '2026-03-02' })).rejects.toThrow()
    expect(await everyRow(db)).toEqual(before)
    await expect(makeDemo(db, { ...demo, today: 'soon' })).rejects.toThrow(RangeError)
  })
})

// Rules of thumb of the trade: common practice, no source
describe('plausible (common practice, no source)', () => {
  const small = `f.resin_ml < 20 and exists (select from file_unit x join unit u on u.id = x.unit_id
    where x.file_id = f.id and u.models_per_unit > 1)`
  const alone = `o.kind = 'purchase' and o.price_currency in ('EUR', 'USD')`
  const joined = `offer o join offer_file x on x.offer_id = o.id join file f on f.id = x.file_id`

  test('a set of troops costs about 6 to 15, a membership about 10 a month', async () => {
    const [troops] = await rows<{ least: number; most: number; usual: number }>(`select min(price_minor) least,
      max(price_minor) most, percentile_cont(0.5) within group (order by price_minor) usual
      from ${joined} where ${alone} and ${small}`)
    expect(troops?.least).toBeGreaterThanOrEqual(550)
    expect(troops?.most).toBeLessThanOrEqual(1600)
    expect(troops?.usual).toBeGreaterThan(800)
    await none(`select id from offer where kind = 'membership' and price_minor not between 500 and 1300`)
  })

  test('characters cost more for their resin than troops do', async () => {
    const perMl = (which: string) =>
      rows<{ m: number }>(`select avg(price_minor / (f.resin_ml * models)) m from ${joined}
      join lateral (select max(u.models_per_unit) models from file_unit y join unit u on u.id = y.unit_id
        where y.file_id = f.id) n on true where ${alone} and f.resin_ml < 20 and ${which}`)
    const [character] = await perMl('models = 1')
    const [troops] = await perMl('models >= 5')
    expect(character?.m).toBeGreaterThan(Number(troops?.m))
  })

  // A foot model of 28 mm in white metal (7.3 g/ml) weighs 10 to 15 g, thus 1.4 to 2 ml, without supports.
  test('resin a copy: foot up to 6 ml, characters and mounted up to 25, monsters and vehicles up to 200', async () => {
    await none(`select title from file where resin_ml not between 0.5 and 200`)
    await none(`select title from file f where ${small} and not exists (select from file_unit x join unit u on
      u.id = x.unit_id where x.file_id = f.id and u.base_width_mm > 32) and resin_ml > 6`)
    await none(`select title from file f join file_unit x on x.file_id = f.id join unit u on u.id = x.unit_id
      where u.base_length_mm is null and u.base_width_mm <= 40 and resin_ml > 25`)
  })

  test('a plate of 28 mm foot models takes about four to four and a half hours at 0.03 mm', async () => {
    const [hours] = await rows<{ h: number }>(`select avg((ceil(f.height_mm * 1000 / p.layer_um)
      * (p.exposure_s + p.cycle_overhead_s) + p.bottom_layers * p.bottom_exposure_s) / 3600) h from ${printed}
      where p.layer_um = 30 and ${small} and f.scale_mm = 28 and f.height_mm between 45 and 50`)
    expect(hours?.h).toBeGreaterThan(3.8)
    expect(hours?.h).toBeLessThan(4.6)
  })

  test('about three of four copies come out good, old supports and worn films included', async () => {
    const [all] = await rows<{ success: number }>('select sum(good)::float / sum(tried) success from print')
    expect(all?.success).toBeGreaterThan(0.65)
    expect(all?.success).toBeLessThan(0.9)
  })
})

describe('where it comes from', () => {
  test('what is seen on failed copies is drawn from the table that the scoring assumes', () => {
    expect(Object.fromEntries(shows.map(([seen, ...chances]) => [seen, chances]))).toEqual(seenLabels)
  })

  // First values of the 32-bit generator from its author's own starting value, in Marsaglia (2003); from memory
  test('chance is Marsaglia’s xorshift', () => {
    const first = xorshift(2_463_534_242)
    expect([first, xorshift(first)]).toEqual([723_471_715, 2_497_366_906])
  })

  // Test vectors of FNV-1a, 32 bits: RFC 9923 and the authors' test_fnv.c; from memory
  test('seeds are hashed by FNV-1a', () => {
    expect([hash(''), hash('a'), hash('foobar')]).toEqual([0x811c9dc5, 0xe40c292c, 0xbf9cf968])
  })

  test('chance is even enough', () => {
    const random = randomFrom('even?')
    const rolls = Array.from({ length: 6000 }, () => random.whole(1, 6))
    const surplus = [1, 2, 3, 4, 5, 6].map((face) => rolls.filter((roll) => roll === face).length - 1000)
    // 0.999 quantile of chi-square with 5 degrees of freedom, from memory
    expect(surplus.reduce((sum, n) => sum + n ** 2 / 1000, 0)).toBeLessThan(20.515)
  })
})

describe('what the fit finds', () => {
  test('worn films, mended supports, and a set that cannot be told from its printer', async () => {
    await refit(db)
    const model = await groupModel(db)
    const named = await db.selectFrom('printer').select(['id', 'name']).execute()
    /** Its upkeep periods, the oldest first. */
    const machines = async (name: string) =>
      (await machineByPeriod(db, named.find((one) => one.name === name)?.id ?? '', model)).toReversed()
    expect((await machines('Gannet')).at(-1)?.mean).toBeLessThan(0.78)
    const [, , worn, mended] = await machines('Duckboard')
    expect(worn?.mean).toBeLessThan(0.75)
    expect(mended?.mean).toBeGreaterThan(0.92)
    const titles = ['Reed Sentries', 'Old Margery', 'Sedge Walkers']
    const files = await db.selectFrom('file').select(['id', 'title']).where('title', 'in', titles).execute()
    const success = await successOfFiles(
      db,
      files.map(({ id }) => id),
    )
    const supplied = (title: string) =>
      success.get(files.find((file) => file.title === title)?.id ?? '')?.find(({ kind }) => kind === 'as supplied')
    expect(supplied('Reed Sentries')?.mean).toBeGreaterThan(0.88)
    expect(supplied('Sedge Walkers')?.mean).toBeLessThan(0.8)
    expect(supplied('Old Margery')?.cantTell).toBe(true)
  })
})

describe('what the demo group shows', () => {
  test('most files have been measured; what was measured is whole, and fits the outlines', async () => {
    expect(await count('measure')).toBeGreaterThan(55)
    await none('select * from measure where volume_ml > width_mm * depth_mm * height_mm / 1000 or open_edges > 0')
    for (const { front, widthMm, heightMm } of await db.selectFrom('measure').selectAll().execute()) {
      const points = (front ?? []).flat()
      expect(Math.max(...points.map(([x = 0]) => x))).toBeGreaterThan(0.97 * Number(widthMm))
      expect(Math.max(...points.map(([, z = 0]) => z))).toBeGreaterThan(0.97 * Number(heightMm))
    }
  })

  test('some forty pictures with words, under 1.5 MB together; a failed print is shown as one', async () => {
    expect(await count('picture')).toBeGreaterThan(35)
    await none('select * from picture where length(alt) < 10 or file_id is null')
    let bytes = 0
    const kept = new Set<string>()
    for await (const picture of demoPictures()) {
      bytes += picture.bytes.length
      kept.add(picture.name)
      expect(Buffer.from(picture.bytes.subarray(8, 12)).toString()).toBe('WEBP')
    }
    expect(bytes).toBeLessThan(1_500_000)
    for (const { hash } of await db.selectFrom('picture').select('hash').execute())
      for (const side of [480, 1600]) expect(kept).toContain(`${hash}-${side}`)
    expect(await count('picture p join print x on x.id = p.print_id where x.good * 2 < x.tried')).toBeGreaterThan(2)
  })
})
