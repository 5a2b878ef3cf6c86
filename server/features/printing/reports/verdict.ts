import type { Db } from '../../../../db/connect.ts'
import type { Blame } from '../../../scoring/blame.ts'
import { meanOf } from '../../../scoring/draws.ts'
import { type Stage, seen as seenKinds, stages, unknown } from '../../../scoring/labels.ts'
import { adviceOn, likelyFrom } from '../../../scoring/verdict.ts'
import { blameOf, lineKey, type PlateBlame } from '../../evidence/queries.ts'
import type { Plate, Print, Verdict } from '../plates/schema.ts'
import { type Around, aroundPlate } from './around.ts'
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
  const [blame, around] = await Promise.all([blameOf(db, plate.id), aroundPlate(db, plate.id)])
  if (!blame) return nothingFailed
  const { upkeepSince } = around
  const reasons = reasonsFor(plate, failed, blame, around)
  // What was done to it since, no plate before can tell to do.
  const worn = upkeepSince === null ? blame.worn : 0
  const { file, machine, plate: ofPlate, prints, counted, untold } = blame
  const likely = untold ? null : likelyCause(blame, sum(failed.map(failedCopies)))
  return {
    file,
    machine,
    plate: ofPlate,
    likely,
    counted,
    canTell: !untold,
    upkeepSince,
    prints: prints.map(({ printId, ...shares }) => ({ id: printId, ...shares })),
    advice: adviceOn(blame, worn, untold ?? undefined).map((advice) => ({
      code: advice.code,
      words: adviceWords(advice, reasons),
    })),
    wouldTell: likely === null ? wouldTell(blame, reasons) : null,
  }
}

const lineOf = ({ file, supportSet }: Print) => ({ fileId: file.id, kind: supportSet.kind })
const failedCopies = ({ tried, good }: Print) => tried - good
const sum = (numbers: readonly number[]) => numbers.reduce((total, number) => total + number, 0)

/** The plates and counts that the reasons are told with. */
function reasonsFor(
  plate: Plate,
  failed: readonly Print[],
  blame: PlateBlame,
  { upkeepSince, lately, elsewhere, outdated }: Around,
): Reasons {
  const failedLately = lately.filter((print) => print.failed)
  const failedLines = new Map(failedLately.map((print) => [lineKey(print), print]))
  const suspect = mostBlamed(failed, blame)
  const totalOf = (keys: readonly string[]) => {
    const rows = elsewhere.filter((row) => keys.includes(lineKey(row)))
    return { tried: sum(rows.map(({ tried }) => tried)), good: sum(rows.map(({ good }) => good)) }
  }
  return {
    blame,
    tried: sum(plate.prints.map(({ tried }) => tried)),
    suspect: plate.prints.length > 1 ? suspect.file.title : null,
    hasNewerRevision: outdated.includes(suspect.id),
    seen: seenOn(failed),
    lately: {
      plates: new Set(lately.map(({ plateId }) => plateId)).size,
      failedPlates: new Set(failedLately.map(({ plateId }) => plateId)).size,
      failedFiles: failedLines.size,
    },
    failedFilesElsewhere: totalOf([...failedLines.keys()]),
    fileElsewhere: totalOf([lineKey(lineOf(suspect))]),
    lineEvidence: blame.untold ?? { copiesByPeriod: [], failures: [] },
    upkeepSince: upkeepSince !== null,
    crowding: plate.crowding,
    plates: {
      'half empty': meanOf(blame.group.plates['half empty']),
      'about full': meanOf(blame.group.plates['about full']),
      packed: meanOf(blame.group.plates.packed),
    },
  }
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

/**
 * So many copies have to have failed for it: as many as make it right at least 75 times in 100 in groups that are not
 * drawn from the model (test/study/RESULTS.md, "Most likely"). Of a plate's crowding it never is.
 */
const leastFailed: Readonly<Record<Stage, number>> = { file: 1, machine: 4, plate: Number.POSITIVE_INFINITY }

/** What most likely caused a plate's failures; null where that can't be said. @param failed copies that failed */
export function likelyCause(blame: Blame, failed: number): Stage | null {
  const first = stages.find((stage) => blame[stage] > likelyFrom)
  return first && failed >= leastFailed[first] ? first : null
}

/** A cause bears enough of the blame to be called likely, and only `leastFailed` keeps it from that. */
export const isRightTooSeldom = ({ likely, canTell, ...blame }: Blame & { likely: Stage | null; canTell: boolean }) =>
  canTell && likely === null && stages.some((stage) => blame[stage] > likelyFrom)
