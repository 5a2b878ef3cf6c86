import type { Insertable } from 'kysely'
import { z } from 'zod'
import type { Tables } from '../tables.ts'
import { between, type Making } from './calendar.ts'
import { keyIn, maybe } from './described.ts'
import { files as described } from './files/described.ts'
import { type FileKey, fileOf, type MadeFiles } from './files/index.ts'
import { type MemberIds, type MemberKey, memberKeys, members } from './members.ts'
import { randomFrom } from './random.ts'
import data from './snags.json' with { type: 'json' }

const shape = z.strictObject({
  file: keyIn(described),
  of: z.string().describe('label of the revision that has it'),
  kind: z.enum([
    'unsupported part',
    'too light supports',
    'trapped-resin hollow',
    'missing option',
    'wrong scale',
    'fragile detail',
    'broken mesh',
    'dead link',
  ] as const),
  severity: z.enum(['stops the print', 'costs time', 'only looks']),
  part: maybe(z.string()),
  minutes: maybe(z.int()),
  detail: z.string(),
  mendedIn: maybe(z.string()).describe('label of the revision without it'),
  acknowledged: maybe(z.literal(true)).describe('Whether its sculptor knows.'),
  found: maybe(z.int()).describe('days since; left out: some weeks after the revision'),
})

const snags = z.array(shape).parse(data)

/** @throws RangeError for a label that the file does not have */
function revisionOf(file: FileKey, label: string): number {
  const index = fileOf(file).revisions.findIndex((revision) => revision.label === label)
  if (index < 0) throw new RangeError(`${file} has no revision ${label}`)
  return index
}

export function makeSnags(
  { calendar, id }: Making,
  files: MadeFiles,
  memberIds: MemberIds,
): Insertable<Tables['snag']>[] {
  const random = randomFrom('snags')
  return snags.map(({ file, of, kind, severity, part = '', minutes = null, detail, mendedIn, acknowledged, found }) => {
    const revision = revisionOf(file, of)
    const known = files.revisionAgo[file][revision] ?? 0
    // Found some weeks after the revision, and before the one that mends it
    const until = mendedIn === undefined ? 1 : (files.revisionAgo[file][revisionOf(file, mendedIn)] ?? 0) + 1
    const ago = found ?? Math.max(until, known - random.whole(3, 40))
    const createdAt = between(calendar.at(ago, 18), calendar.at(ago, 22), random)
    const finder = random.pick(findersOf(file, ago))
    const state = mendedIn !== undefined ? 'mended' : acknowledged ? 'the sculptor knows' : 'open'
    return {
      id: id(createdAt),
      fileId: files.ids[file],
      revisionId: files.revisionIds[file][revision] ?? '',
      kind,
      severity,
      part,
      minutes,
      detail,
      state,
      createdBy: memberIds[finder],
      createdAt,
      version: state === 'open' ? 1 : 2,
      mendedInRevisionId: mendedIn === undefined ? null : (files.revisionIds[file][revisionOf(file, mendedIn)] ?? null),
    }
  })
}

/** Whoever has the file and a printer, and had joined by then. */
const findersOf = (file: FileKey, ago: number): readonly MemberKey[] =>
  (fileOf(file).heldBy ?? memberKeys).filter((key) => members[key].joined > ago && key !== 'anwen')
