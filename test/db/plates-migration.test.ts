import { sql } from 'kysely'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { migrate } from '../../db/migrate.ts'
import { migrations } from '../../db/migrations/index.ts'
import { lastFit, successOfFiles } from '../../server/features/evidence/queries.ts'
import { startJobs } from '../../server/jobs/index.ts'
import { memberWeight } from '../../server/scoring/plates.ts'
import { freshDatabase } from '../support/database.ts'
import { until } from '../support/until.ts'

/*
 * A group of the last release, whose reports knew one file a plate: rows as that release kept them, frozen here.
 */
const { db, ...database } = await freshDatabase()
afterAll(() => database.close())

const id = (kind: number, number: number) => `01970000-000${kind}-7000-8000-00000000000${number}`
const [ada, printer, period, oldSet, newSet] = [id(1, 1), id(2, 1), id(3, 1), id(4, 1), id(4, 2)]
const [failed, good, packed] = [id(5, 1), id(5, 2), id(5, 3)]

const frozen = `
  insert into member (id, name, email, password_hash, role, default_crowding) values
    ('${ada}', 'Ada', 'ada@group.example', 'x', 'owner', 'loose'),
    ('${id(1, 2)}', 'Ben', 'ben@group.example', 'x', 'member', 'normal'),
    ('${id(1, 3)}', 'Cleo', 'cleo@group.example', 'x', 'member', 'packed');
  insert into sculptor (id, name, credit) values ('${id(6, 1)}', 'Pewter Lane', 'named');
  insert into file (id, title, sculptor_id, created_by) values ('${id(7, 1)}', 'Heron Riders', '${id(6, 1)}', '${ada}');
  insert into revision (id, file_id, label, created_by) values
    ('${id(8, 1)}', '${id(7, 1)}', 'first', '${ada}'), ('${id(8, 2)}', '${id(7, 1)}', 'second', '${ada}');
  insert into support_set (id, revision_id, kind, created_by) values
    ('${oldSet}', '${id(8, 1)}', 'as supplied', '${ada}'), ('${newSet}', '${id(8, 2)}', 'as supplied', '${ada}');
  insert into printer (id, owner_id, name, plate_width_mm, plate_depth_mm, build_height_mm, layer_um, exposure_s,
    bottom_layers, bottom_exposure_s, cycle_overhead_s)
    values ('${printer}', '${ada}', 'Attic', 143, 89, 175, 50, 2.4, 5, 28, 7.5);
  insert into printer_period (id, printer_id, starts_on) values ('${period}', '${printer}', null);
  insert into report (id, member_id, support_set_id, printer_id, printer_period_id, printed_on, tried, good, crowding,
    remark, file_weight, created_at, version) values
    ('${failed}', '${ada}', '${oldSet}', '${printer}', '${period}', '2025-06-01', 6, 3, 'loose', 'left half', 0.5,
      '2025-06-01T20:00Z', 3),
    ('${good}', '${ada}', '${newSet}', '${printer}', '${period}', '2025-06-02', 4, 4, 'normal', '', 1,
      '2025-06-02T20:00Z', 1),
    ('${packed}', '${ada}', '${newSet}', '${printer}', '${period}', '2025-06-02', 8, 0, 'packed', '', 1,
      '2025-06-02T21:00Z', 1);
  insert into report_failure (report_id, seen, copies) values
    ('${failed}', 'supports snapped', 1), ('${failed}', 'don''t know', 2), ('${packed}', 'stuck to the film', 8);
  insert into roster (id, owner_id, name) values ('${id(9, 1)}', '${ada}', 'Autumn');
  insert into roster_entry (id, roster_id, place, words, models)
    values ('${id(9, 2)}', '${id(9, 1)}', 1, 'Heron Riders', 6);
  insert into roster_print (report_id, entry_id) values ('${good}', '${id(9, 2)}')`

const rows = async (query: string) => (await sql.raw(query).execute(db)).rows

describe('a database of the last release with reports', () => {
  beforeAll(async () => {
    await sql`drop schema public cascade`.execute(db)
    await sql`create schema public`.execute(db)
    const steps = Object.entries(migrations)
    const release = Object.fromEntries(steps.filter(([name]) => name < '008'))
    expect(Object.keys(release)).toHaveLength(7)
    await migrate(db, release)
    for (const statement of frozen.split(';')) await sql.raw(statement).execute(db)
    await migrate(db)
  })

  test('has each report as the plate of one print, under the same id', async () => {
    expect(await rows('select id, told, crowding, remark, version from plate order by id')).toEqual([
      { id: failed, told: true, crowding: 'half empty', remark: 'left half', version: 3 },
      { id: good, told: true, crowding: 'about full', remark: '', version: 1 },
      { id: packed, told: true, crowding: 'packed', remark: '', version: 1 },
    ])
    const own = { memberId: ada, printerId: printer, printerPeriodId: period }
    expect(await rows('select member_id, printer_id, printer_period_id from plate')).toEqual([own, own, own])
    const [first] = await rows('select printed_on, created_at from plate order by id')
    expect(first).toEqual({ printedOn: '2025-06-01', createdAt: new Date('2025-06-01T20:00Z') })
    const unmended = { mended: 0, mendedMinutes: null }
    expect(await rows('select * from print order by id')).toEqual([
      { id: failed, plateId: failed, supportSetId: oldSet, tried: 6, good: 3, ...unmended },
      { id: good, plateId: good, supportSetId: newSet, tried: 4, good: 4, ...unmended },
      { id: packed, plateId: packed, supportSetId: newSet, tried: 8, good: 0, ...unmended },
    ])
    expect(await rows('select * from print_failure order by print_id, copies')).toEqual([
      { printId: failed, seen: 'supports snapped', copies: 1 },
      { printId: failed, seen: "don't know", copies: 2 },
      { printId: packed, seen: 'stuck to the film', copies: 8 },
    ])
    expect(await rows('select print_id, entry_id from roster_print')).toEqual([{ printId: good, entryId: id(9, 2) }])
  })

  test('calls what members usually fill a plate like by the words of the pages', async () => {
    expect(await rows('select name, default_crowding from member order by name')).toEqual([
      { name: 'Ada', defaultCrowding: 'half empty' },
      { name: 'Ben', defaultCrowding: 'about full' },
      { name: 'Cleo', defaultCrowding: 'packed' },
    ])
    await expect(rows(`update member set default_crowding = 'loose'`)).rejects.toThrow('check')
  })

  test('waits to be fitted', async () => {
    expect(await rows('select plate_id from fit_mark')).toEqual([{ plateId: null }])
    expect(await rows('select fit, fitted_at from scoring_fit')).toEqual([{ fit: 0, fittedAt: null }])
  })

  test('is fitted when the service is next started, each report counted once; until then figures are not there', async () => {
    expect(await lastFit(db)).toMatchObject({ sinceFitS: null, plates: 0, notCounted: 3 })
    const log = { info: () => {}, error: (what: object, message: string) => console.error(message, what) }
    const jobs = await startJobs({ database: { db, ...database }, log, everyS: 0.5 })
    await until(async () => (await lastFit(db)).notCounted === 0)
    expect(await lastFit(db)).toMatchObject({ plates: 3 })
    await jobs.stop()
    // Six copies on the older revision count half; with the twelve of the newer one, all Ada's, they are more than ten.
    const [line] = (await successOfFiles(db, [id(7, 1)])).get(id(7, 1)) ?? []
    expect(line?.copies).toBeCloseTo((12 + 6 / 2) * memberWeight(18), 6)
  })

  test('takes a print’s roster entry with it, and lets two prints of a plate change places', async () => {
    await rows(`insert into print (id, plate_id, support_set_id, tried, good)
      values ('${id(5, 4)}', '${failed}', '${newSet}', 1, 1)`)
    await rows(`update print set support_set_id = case support_set_id when '${oldSet}' then '${newSet}'::uuid
      else '${oldSet}'::uuid end where plate_id = '${failed}'`)
    await expect(rows(`update print set support_set_id = '${oldSet}' where plate_id = '${failed}'`)).rejects.toThrow()
    await rows(`delete from plate where id = '${good}'`)
    expect(await rows('select * from roster_print')).toEqual([])
  })
})
