import type { Db } from '../../../../db/connect.ts'
import type { SupportKind } from '../../../../db/tables.ts'
import { invalid } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { fileHead, fileHeads } from '../../catalogue/files/heads.ts'
import {
  addRevision,
  addSupportSet,
  holdRevisions,
  revisionsOf,
  revisionsOfFiles,
} from '../../catalogue/revisions/queries.ts'
import { type Revision, supportKind } from '../../catalogue/revisions/schema.ts'

/** What can be said to have been on the plate: a set that was entered, or a kind of which there is none yet. */
export interface SupportChoice {
  /** id of the set, or the kind */
  value: string
  kind: SupportKind
  /** null for a kind of which there is no set on the newest revision */
  revision: string | null
  isNewest: boolean
}

/**
 * The supports of files to choose from, by file: the newest revision's first, then kinds it has no set of, then older ones.
 */
export async function supportChoices(db: Db, viewer: Viewer, fileIds: readonly string[]) {
  const revisions = await revisionsOfFiles(db, viewer, await fileHeads(db, fileIds))
  return new Map([...revisions].map(([id, oldestFirst]) => [id, choicesAmong(oldestFirst)]))
}

function choicesAmong(oldestFirst: readonly Revision[]): SupportChoice[] {
  const revisions = oldestFirst.toReversed()
  const entered = revisions.flatMap(({ label, supportSets }, age) =>
    supportSets.map((set) => ({ value: set.id, kind: set.kind, revision: label, isNewest: age === 0 })),
  )
  const newest = entered.filter(({ isNewest }) => isNewest)
  const missing = supportKind.options.filter((kind) => !newest.some((set) => set.kind === kind))
  return [
    ...newest,
    ...missing.map((kind) => ({ value: kind, kind, revision: null, isNewest: true })),
    ...entered.filter(({ isNewest }) => !isNewest),
  ]
}

/**
 * The sets that the prints of a form mean, as `supportSetFor` does. One that is there already, as nearly all are, is found
 * with all others of the plate; only what has to be entered is looked at by itself.
 *
 * @param path where the form says so, by place
 * @returns their ids, in the same order
 */
export async function supportSetsFor(
  trx: Db,
  viewer: Viewer,
  meant: readonly { fileId: string; supports: string }[],
  path: (index: number) => string,
): Promise<string[]> {
  const heads = await fileHeads(trx, [...new Set(meant.map(({ fileId }) => fileId))])
  const revisions = await revisionsOfFiles(trx, viewer, heads)
  const ids: string[] = []
  for (const [index, { fileId, supports }] of meant.entries()) {
    const known = knownSet(revisions.get(fileId) ?? [], supports)
    ids.push(known ?? (await supportSetFor(trx, viewer, fileId, supports, path(index))))
  }
  return ids
}

const kindOf = (supports: string) => supportKind.options.find((known) => known === supports)

/** A set by its id, or the newest revision's by its kind. */
function knownSet(oldestFirst: readonly Revision[], supports: string): string | undefined {
  const among = kindOf(supports) ? oldestFirst.slice(-1) : oldestFirst
  return among.flatMap(({ supportSets }) => supportSets).find(({ id, kind }) => [id, kind].includes(supports))?.id
}

/**
 * The set that a form means. A kind that nobody has entered becomes a set of the newest revision; a file without any
 * revision gets one "as first seen".
 *
 * @param path where the form says so
 * @returns its id
 * @throws Problem 404 without such a file, 422 for a set of another file
 */
async function supportSetFor(trx: Db, viewer: Viewer, fileId: string, supports: string, path: string): Promise<string> {
  const kind = kindOf(supports)
  // Of two who send the first report of these supports at once, one waits for the other's to be there.
  if (kind) await holdRevisions(trx, fileId)
  const revisions = await revisionsOf(trx, viewer, await fileHead(trx, fileId))
  const sets = revisions.flatMap(({ supportSets }) => supportSets)
  if (!kind) {
    if (!sets.some(({ id }) => id === supports)) throw invalid(path, "Those are another file's supports.")
    return supports
  }
  const firstSeen = { label: 'as first seen', releasedOn: null, sha256: null, supportKinds: [kind] }
  const newest = revisions.at(-1) ?? (await addRevision(trx, viewer, fileId, firstSeen))
  const known = newest.supportSets.find((set) => set.kind === kind)
  return (known ?? (await addSupportSet(trx, viewer, newest.id, { kind, claim: '' }))).id
}
