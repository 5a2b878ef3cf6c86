import { sql } from 'kysely'
import { type Db, often } from '../../../db/connect.ts'
import { notFound } from '../../http/problem.ts'
import { mean } from '../../scoring/beta.ts'
import type { Total } from '../../scoring/priors.ts'
import { confounded, type Verdict as Judgement, verdict } from '../../scoring/verdict.ts'
import {
  currentFit,
  evidenceOf,
  type Line,
  learningState,
  lineEvidence,
  lineKey,
  type Model,
  machineShapeOf,
  noEvidence,
  plateShapes,
  type ReportEvidence,
} from '../evidence/queries.ts'
import type { Verdict } from './schema.ts'
import { adviceWords, type Reasons } from './words.ts'

/**
 * Whose fault were a report's failures: the file's, the machine's or the plate's, and what to do first.
 *
 * @throws Problem 404
 */
export async function verdictOf(db: Db, reportId: string): Promise<Verdict> {
  const [report] = await evidenceOf(db, [reportId])
  if (!report) throw notFound('report')
  return judge(db, report)
}

/** The same for a report whose evidence is at hand. */
export async function judge(db: Db, report: ReportEvidence): Promise<Verdict> {
  if (report.failures.length === 0)
    return { file: 0, machine: 0, plate: 0, advice: [], canTell: false, upkeepSince: null }
  const { hyper, plates: totals } = await learningState(db)
  const plates = plateShapes(totals)
  const { periods: upTo, shape, lately, upkeepSince } = await aroundReport(db, report)
  const shapeOf = (period: Total) => machineShapeOf(hyper, period)
  const now = upTo.at(-1)
  const setEvidence = (await lineEvidence(db, [report.fileId])).get(lineKey(report)) ?? noEvidence
  const judgement: Judgement = verdict({
    failures: report.failures,
    shapes: {
      file: shape ? [shape.shapeA, shape.shapeB] : [1, 1],
      machine: shapeOf(now ?? { x: 0, y: 0 }),
      plate: plates[report.crowding],
    },
    // A period in which nothing was printed is nothing to be worse than.
    earlierPeriods: upTo.filter((period) => period !== now && period.x + period.y > 0).map(shapeOf),
    setEvidence,
  })
  const reasons = {
    ...(await reasonsFor(db, report, lately, plates)),
    ...{ setEvidence, upkeepSince: upkeepSince !== null },
  }
  return {
    file: judgement.file,
    machine: judgement.machine,
    plate: judgement.plate,
    advice: judgement.advice.map((advice) => ({ code: advice.code, words: adviceWords(advice, reasons) })),
    canTell: confounded(setEvidence) === undefined,
    upkeepSince,
  }
}

/** So many plates back is "lately". */
const lastPlates = 5

type Plate = Line & { tried: number; good: number }

interface Around {
  periods: Total[]
  /** the day of the first upkeep after the period; null while it lasts */
  upkeepSince: string | null
  shape: { shapeA: number; shapeB: number } | null
  lately: Plate[]
}

/**
 * In one question: what is known of the printer's upkeep periods up to and with the report's, oldest first, of the
 * report's line, of the last plates of the period up to the report, and of upkeep since.
 */
async function aroundReport(db: Db, { id, periodId, fileId, kind }: ReportEvidence) {
  const { rows } = await sql<Around>`
    select ${often} (
      select json_agg(json_build_object('x', coalesce(learnt.x, 0), 'y', coalesce(learnt.y, 0))
        order by period.starts_on nulls first)
      from printer_period last
      join printer_period period on period.printer_id = last.printer_id
        and (period.id = last.id or period.starts_on is null or period.starts_on < last.starts_on)
      left join period_success learnt on learnt.period_id = period.id and learnt.fit = ${currentFit}
      where last.id = ${periodId}
    ) as periods, (
      select min(next.starts_on)::text
      from printer_period this join printer_period next on next.printer_id = this.printer_id
        and (next.starts_on > this.starts_on or this.starts_on is null)
      where this.id = ${periodId}
    ) as upkeep_since, (
      select json_build_object('shapeA', shape_a, 'shapeB', shape_b) from print_success
      where file_id = ${fileId} and kind = ${kind} and fit = ${currentFit}
    ) as shape, (
      select json_agg(json_build_object('fileId', revision.file_id, 'kind', support_set.kind,
        'tried', lately.tried, 'good', lately.good))
      from report this
      cross join lateral (
        select tried, good, support_set_id from report
        where printer_period_id = ${periodId} and (printed_on, id) <= (this.printed_on, this.id)
        order by printed_on desc, id desc limit ${sql.lit(lastPlates)}
      ) lately
      join support_set on support_set.id = lately.support_set_id
      join revision on revision.id = support_set.revision_id
      where this.id = ${id}
    ) as lately`.execute(db)
  if (!rows[0]) throw notFound('report')
  return rows[0]
}

/** The plates and counts that the reasons are told with. */
async function reasonsFor(
  db: Db,
  report: ReportEvidence,
  lately: readonly Plate[],
  plates: Model['plates'],
): Promise<Omit<Reasons, 'setEvidence' | 'upkeepSince'>> {
  const failed = lately.filter(({ good, tried }) => good < tried)
  const failedLines = new Map(failed.map((row) => [lineKey(row), row]))
  const lines = new Map<string, Line>([...failedLines, [lineKey(report), report]])
  const elsewhere = await printedElsewhere(db, report.periodId, [...lines.values()])
  const totalOf = (keys: readonly string[]) => {
    const rows = elsewhere.filter((row) => keys.includes(lineKey(row)))
    return { tried: sum(rows.map(({ tried }) => tried)), good: sum(rows.map(({ good }) => good)) }
  }
  return {
    tried: report.tried,
    // On the newest revision a report counts for the file in full.
    hasNewerRevision: report.fileWeight < 1,
    somethingSeen: report.failures.some(({ seen, copies }) => seen !== "don't know" && copies > 0),
    lately: { plates: lately.length, failedPlates: failed.length, failedFiles: failedLines.size },
    failedFilesElsewhere: totalOf([...failedLines.keys()]),
    fileElsewhere: totalOf([lineKey(report)]),
    crowding: report.crowding,
    plates: { loose: mean(plates.loose), normal: mean(plates.normal), packed: mean(plates.packed) },
  }
}

const sum = (numbers: readonly number[]) => numbers.reduce((total, number) => total + number, 0)

/** So many of a set's newest reports tell how it does. */
const newestReports = 50

/** What other printers made of these lines, by the newest reports of each of their sets. */
async function printedElsewhere(db: Db, periodId: string, lines: readonly Line[]) {
  const { rows } = await sql<Line & { tried: number; good: number }>`
    select ${often} line.file_id, line.kind, sum(report.tried) as tried, sum(report.good) as good
    from unnest(${lines.map(({ fileId }) => fileId)}::uuid[], ${lines.map(({ kind }) => kind)}::text[]) line (file_id, kind)
    join revision on revision.file_id = line.file_id
    join support_set on support_set.revision_id = revision.id and support_set.kind = line.kind
    cross join lateral (
      select tried, good, printer_id from report
      where support_set_id = support_set.id order by id desc limit ${sql.lit(newestReports)}
    ) report
    where report.printer_id <> (select printer_id from printer_period where id = ${periodId})
    group by 1, 2`.execute(db)
  return rows
}
