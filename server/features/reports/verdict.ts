import { sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import { notFound } from '../../http/problem.ts'
import { mean } from '../../scoring/beta.ts'
import { confounded, type Verdict as Judgement, verdict } from '../../scoring/verdict.ts'
import {
  evidenceOf,
  type Line,
  lineEvidence,
  lineKey,
  lineShape,
  type Model,
  machineShapeOf,
  modelOf,
  noEvidence,
  periods,
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
  if (report.failures.length === 0) return { file: 0, machine: 0, plate: 0, advice: [], canTell: false }
  const model = await modelOf(db)
  const upTo = await periodsUpTo(db, report.periodId)
  const shapeOf = (period: (typeof upTo)[number]) => machineShapeOf(model.hyper, period)
  const now = upTo.at(-1)
  const setEvidence = (await lineEvidence(db, [report.fileId])).get(lineKey(report)) ?? noEvidence
  const judgement: Judgement = verdict({
    failures: report.failures,
    shapes: {
      file: await lineShape(db, report),
      machine: now ? shapeOf(now) : model.goodMachine,
      plate: model.plates[report.crowding],
    },
    // A period in which nothing was printed is nothing to be worse than.
    earlierPeriods: upTo.filter((period) => period !== now && period.x + period.y > 0).map(shapeOf),
    setEvidence,
  })
  const reasons = await reasonsFor(db, report, model.plates)
  return {
    file: judgement.file,
    machine: judgement.machine,
    plate: judgement.plate,
    advice: judgement.advice.map((advice) => ({ code: advice.code, words: adviceWords(advice, reasons) })),
    canTell: confounded(setEvidence) === undefined,
  }
}

/** The upkeep periods of a period's printer up to and with it, oldest first. */
function periodsUpTo(db: Db, periodId: string) {
  return periods(db)
    .innerJoin('printerPeriod as last', 'last.printerId', 'printerPeriod.printerId')
    .where('last.id', '=', periodId)
    .where((eb) =>
      eb.or([
        eb('printerPeriod.id', '=', periodId),
        eb('printerPeriod.startsOn', 'is', null),
        eb('printerPeriod.startsOn', '<', eb.ref('last.startsOn')),
      ]),
    )
    .orderBy('printerPeriod.startsOn', (order) => order.asc().nullsFirst())
    .execute()
}

/** So many plates back is "lately". */
const lastPlates = 5

/** The plates and counts that the reasons are told with. */
async function reasonsFor(db: Db, report: ReportEvidence, plates: Model['plates']): Promise<Reasons> {
  const lately = await latelyOn(db, report)
  const failed = lately.filter(({ good, tried }) => good < tried)
  const failedLines = new Map(failed.map((row) => [lineKey(row), row]))
  const elsewhere = await printedElsewhere(db, report.periodId, [...failedLines.values(), report])
  const totalOf = (keys: readonly string[]) => {
    const rows = elsewhere.filter((row) => keys.includes(lineKey(row)))
    return { tried: sum(rows.map(({ tried }) => tried)), good: sum(rows.map(({ good }) => good)) }
  }
  return {
    lately: { plates: lately.length, failedPlates: failed.length, failedFiles: failedLines.size },
    failedFilesElsewhere: totalOf([...failedLines.keys()]),
    fileElsewhere: totalOf([lineKey(report)]),
    crowding: report.crowding,
    plates: { loose: mean(plates.loose), normal: mean(plates.normal), packed: mean(plates.packed) },
  }
}

const sum = (numbers: readonly number[]) => numbers.reduce((total, number) => total + number, 0)

const withLines = (db: Db) =>
  db
    .selectFrom('report')
    .innerJoin('supportSet', 'supportSet.id', 'report.supportSetId')
    .innerJoin('revision', 'revision.id', 'supportSet.revisionId')

/** The last plates of the report's printer period up to it. */
async function latelyOn(db: Db, { id, periodId }: ReportEvidence) {
  return withLines(db)
    .innerJoin('report as this', (join) => join.on('this.id', '=', id))
    .select(['revision.fileId', 'supportSet.kind', 'report.tried', 'report.good'])
    .where('report.printerPeriodId', '=', periodId)
    .where(sql<boolean>`(report.printed_on, report.id) <= (this.printed_on, this.id)`)
    .orderBy('report.printedOn', 'desc')
    .orderBy('report.id', 'desc')
    .limit(lastPlates)
    .execute()
}

/** What other printers made of these lines. */
async function printedElsewhere(db: Db, periodId: string, lines: readonly Line[]) {
  const printer = db.selectFrom('printerPeriod').select('printerId').where('id', '=', periodId)
  return withLines(db)
    .select(['revision.fileId', 'supportSet.kind'])
    .select((eb) => [eb.fn.sum<number>('report.tried').as('tried'), eb.fn.sum<number>('report.good').as('good')])
    .where('report.printerId', '<>', printer)
    .where((eb) =>
      eb(
        eb.refTuple('revision.fileId', 'supportSet.kind'),
        'in',
        lines.map(({ fileId, kind }) => eb.tuple(fileId, kind)),
      ),
    )
    .groupBy(['revision.fileId', 'supportSet.kind'])
    .execute()
}
