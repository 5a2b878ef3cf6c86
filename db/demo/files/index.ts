import type { Insertable } from 'kysely'
import type { SupportKind, Tables } from '../../tables.ts'
import { later, type Making } from '../calendar.ts'
import { keysOf } from '../described.ts'
import { type MemberIds, type MemberKey, somebody } from '../members.ts'
import { dealer, type Random, randomFrom } from '../random.ts'
import { type SculptorKey, sculptors } from '../sculptors.ts'
import { baseColumns, type UnitKey, units } from '../units.ts'
import { type DemoRevision, files } from './described.ts'

export type FileKey = keyof typeof files
export const fileKeys = keysOf(files)
/** What stands in the data, where `files` are rows. */
export const fileOf = (key: FileKey) => files[key]

/** A support set with what only the demo knows of it. */
export interface MadeSet {
  id: string
  file: FileKey
  /** place among the file's revisions, 0 the first */
  revision: number
  kind: SupportKind
  /** days since the group knows of it */
  ago: number
  /** that a copy does not fail by the file's fault */
  success: number
}

export interface MadeFiles {
  rows: Insertable<Tables['file']>[]
  units: Insertable<Tables['fileUnit']>[]
  revisions: Insertable<Tables['revision']>[]
  supportSets: Insertable<Tables['supportSet']>[]
  ids: Record<FileKey, string>
  /** days since the file was written down */
  ago: Record<FileKey, number>
  /** by file, in the order of the revisions */
  revisionIds: Record<FileKey, string[]>
  /** days since the group knows of each of them */
  revisionAgo: Record<FileKey, number[]>
  sets: MadeSet[]
}

type Ids = { members: MemberIds; sculptors: Record<SculptorKey, string>; units: Record<UnitKey, string> }

export function makeFiles(making: Making, ids: Ids): MadeFiles {
  const random = randomFrom('files')
  const made = {
    rows: [],
    units: [],
    revisions: [],
    supportSets: [],
    sets: [],
    ids: {},
    ago: {},
    revisionIds: {},
    revisionAgo: {},
  } as unknown as MadeFiles
  const claims = dealer(suppliedClaims, random)
  fileKeys.forEach((key, index) => {
    const author = addFile(making, made, key, index, ids, random)
    for (const revision of fileOf(key).revisions) addRevision(making, made, key, revision, author, random, claims)
  })
  return made
}

/** @returns who wrote it down */
function addFile({ calendar, id }: Making, made: MadeFiles, key: FileKey, index: number, ids: Ids, random: Random) {
  const { about, model, revisions, heldBy } = fileOf(key)
  const ago = Math.min(458 - index, (revisions[0]?.ago ?? 0) - 3)
  const createdAt = calendar.at(ago, random.whole(17, 21))
  const author = somebody(ago, random, heldBy)
  const sculptor = sculptors[about.sculptor]
  const [first] = about.units.map((unit) => units[unit])
  if (!first) throw new RangeError(`${key} stands in for nothing`)
  const fileId = id(createdAt)
  made.rows.push({
    id: fileId,
    title: about.title,
    sculptorId: ids.sculptors[about.sculptor],
    licence: sculptor.licence,
    scaleMm: model.scaleMm ?? first.scaleMm,
    ...baseColumns(model.base === undefined ? first.base : model.base),
    heightMm: model.heightMm,
    resinMl: model.resinMl,
    options: [...(model.options ?? [])],
    styleTags: [...model.styleTags],
    formats: [...sculptor.formats],
    remark: model.remark ?? '',
    createdBy: ids.members[author],
    createdAt,
  })
  made.units.push(...about.units.map((unit) => ({ fileId, unitId: ids.units[unit] })))
  made.ids[key] = fileId
  made.ago[key] = ago
  made.revisionIds[key] = []
  made.revisionAgo[key] = []
  return ids.members[author]
}

const kinds = { supplied: 'as supplied', extra: 'extra supports', own: 'own supports' } as const

function addRevision(
  { calendar, id }: Making,
  made: MadeFiles,
  file: FileKey,
  { label, ago: releasedAgo, ...successes }: DemoRevision,
  createdBy: string,
  random: Random,
  claims: () => string,
): void {
  const ago = Math.min(made.ago[file], releasedAgo - 3)
  const createdAt = later(calendar.at(ago, 21), 5)
  const revisionId = id(createdAt)
  const sha256 = random.happens(0.4) ? Buffer.from(random.bytes(32)).toString('hex') : null
  made.revisions.push({
    id: revisionId,
    fileId: made.ids[file],
    label,
    releasedOn: calendar.day(releasedAgo),
    sha256,
    createdBy,
    createdAt,
  })
  made.revisionIds[file].push(revisionId)
  made.revisionAgo[file].push(ago)
  for (const [name, kind] of Object.entries(kinds)) {
    const success = successes[name as keyof typeof kinds]
    if (success === undefined) continue
    // Members' own supports come some evenings after the file
    const setAgo = kind === 'as supplied' ? ago : Math.max(2, ago - random.whole(8, 20))
    const setAt = later(calendar.at(setAgo, 21), 10)
    const setId = id(setAt)
    const claim = kind === 'as supplied' ? claims() : ''
    made.supportSets.push({ id: setId, revisionId, kind, claim, createdBy, createdAt: setAt })
    const revision = made.revisionIds[file].length - 1
    made.sets.push({ id: setId, file, revision, kind, ago: setAgo, success })
  }
}

/** What sculptors say of their supports; whether it is so is another matter. */
const suppliedClaims = [
  'Supported and printed by us at 0.03 mm.',
  'Light tips, nothing on the faces.',
  'Tested on two machines.',
  'Heavy supports under the base, medium elsewhere.',
  'Should work with any standard resin.',
  'Tilted back by 30 degrees so that marks stay out of sight.',
  '',
  'New supports from the ground up.',
  'Supports made by a friend who prints a lot.',
  'Hollowed, with drain holes under the feet.',
  'Printed fifty of these for a show.',
]

/** Members who may have a file. */
export const mayHave = (member: MemberKey, key: FileKey) => fileOf(key).heldBy?.includes(member) ?? true
