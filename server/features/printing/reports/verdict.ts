import type { Db } from '../../../../db/connect.ts'
import { meanOf } from '../../../scoring/draws.ts'
import { seen as seenKinds, unknown } from '../../../scoring/labels.ts'
import { adviceOn, confounded } from '../../../scoring/verdict.ts'
import { recordsOf } from '../../evidence/lines.ts'
import { blameOf, type GroupModel, groupModel, lineKey, type PlateBlame } from '../../evidence/queries.ts'
import type { Plate, Print, Verdict } from '../plates/schema.ts'
import { type Around, aroundPlate, hasNewerRevision, printedElsewhere } from './around.ts'
import { likelyCause } from './rules.ts'
import { adviceWords, type Reasons, wouldTell } from './words.ts'

const nothingFailed: Verdict = {
  file: 0,
  machine: 0,
  plate: 0,
  likely: null,
  prints: [],
  counted: false,
  advice: [],
  wouldTell: null,
  canTell: false,
  upkeepSince: null,
}

/** Whose fault were a plate's failures: its files', the machine's or the plate's, and what to do first. */
export async function verdictOf(db: Db, plate: Plate): Promise<Verdict> {
  const failed = plate.prints.filter(({ failures }) => failures.length > 0)
  if (failed.length === 0) return nothingFailed
  const model = await groupModel(db)
  const [blame, around] = await Promise.all([blameOf(db, plate.id, model), aroundPlate(db, plate.id)])
  if (!blame) return nothingFailed
  const { upkeepSince } = around
  const { reasons, untold } = await reasonsFor(db, plate, failed, { blame, around, model })
  // What was done to it since, no plate before can tell to do.
  const worn = upkeepSince === null ? blame.worn : 0
  const { file, machine, plate: ofPlate, prints, counted, cantTell } = blame
  const likely = cantTell ? null : likelyCause(blame, sum(failed.map(failedCopies)))
  return {
    file,
    machine,
    plate: ofPlate,
    likely,
    counted,
    canTell: !cantTell,
    upkeepSince,
    prints: prints.map(({ printId, ...shares }) => ({ id: printId, ...shares })),
    advice: adviceOn(blame, worn, untold).map((advice) => ({
      code: advice.code,
      words: adviceWords(advice, reasons),
    })),
    wouldTell: likely === null ? wouldTell(blame, reasons) : null,
  }
}

const lineOf = ({ file, supportSet }: Print) => ({ fileId: file.id, kind: supportSet.kind })
const failedCopies = ({ tried, good }: Print) => tried - good
const sum = (numbers: readonly number[]) => numbers.reduce((total, number) => total + number, 0)

/** The plates and counts that the reasons are told with, and the record of a line that can't be told from its printer. */
async function reasonsFor(
  db: Db,
  plate: Plate,
  failed: readonly Print[],
  { blame, around, model }: { blame: PlateBlame; around: Around; model: GroupModel },
) {
  const { periodId, upkeepSince, lately } = around
  const failedLately = lately.filter((print) => print.failed)
  const failedLines = new Map(failedLately.map((print) => [lineKey(print), print]))
  const suspect = mostBlamed(failed, blame)
  const lines = new Map([...failedLines, [lineKey(lineOf(suspect)), lineOf(suspect)]])
  const elsewhere = await printedElsewhere(db, periodId, [...lines.values()])
  const totalOf = (keys: readonly string[]) => {
    const rows = elsewhere.filter((row) => keys.includes(lineKey(row)))
    return { tried: sum(rows.map(({ tried }) => tried)), good: sum(rows.map(({ good }) => good)) }
  }
  const untold = blame.cantTell ? await untoldRecord(db, failed) : undefined
  const reasons: Reasons = {
    blame,
    tried: sum(plate.prints.map(({ tried }) => tried)),
    suspect: plate.prints.length > 1 ? suspect.file.title : null,
    hasNewerRevision: await hasNewerRevision(db, { id: suspect.supportSet.id, ...lineOf(suspect) }),
    seen: seenOn(failed),
    lately: {
      plates: new Set(lately.map(({ plateId }) => plateId)).size,
      failedPlates: new Set(failedLately.map(({ plateId }) => plateId)).size,
      failedFiles: failedLines.size,
    },
    failedFilesElsewhere: totalOf([...failedLines.keys()]),
    fileElsewhere: totalOf([lineKey(lineOf(suspect))]),
    lineEvidence: untold ?? { copiesByPeriod: [], failures: [] },
    upkeepSince: upkeepSince !== null,
    crowding: plate.crowding,
    plates: {
      'half empty': meanOf(model.group.plates['half empty']),
      'about full': meanOf(model.group.plates['about full']),
      packed: meanOf(model.group.plates.packed),
    },
  }
  return { reasons, untold }
}

/** What somebody saw on the failed copies, whichever print they are of. */
const seenOn = (failed: readonly Print[]) =>
  seenKinds.flatMap((seen) => {
    const copies = sum(failed.flatMap(({ failures }) => failures.map((one) => (one.seen === seen ? one.copies : 0))))
    return copies > 0 && seen !== unknown ? [{ seen, copies }] : []
  })

/** The print whose file has most to answer for. */
function mostBlamed(failed: readonly Print[], { prints }: PlateBlame): Print {
  const blamed = (print: Print) => failedCopies(print) * (prints.find(({ printId }) => printId === print.id)?.file ?? 0)
  return failed.reduce((most, print) => (blamed(print) > blamed(most) ? print : most))
}

/** What is known of a failed line that can't be told from its printer yet. */
async function untoldRecord(db: Db, failed: readonly Print[]) {
  const keys = failed.map((print) => lineKey(lineOf(print)))
  const records = await recordsOf(db, [...new Set(failed.map(({ file }) => file.id))])
  return records.find((record) => keys.includes(lineKey(record)) && confounded(record))
}
