import type { Insertable } from 'kysely'
import type { Severity, SnagKind, Tables } from '../tables.ts'
import { between, type Making } from './calendar.ts'
import { type FileKey, fileOf, type MadeFiles } from './files/index.ts'
import { type MemberIds, type MemberKey, memberKeys, members } from './members.ts'
import { randomFrom } from './random.ts'

interface DemoSnag {
  file: FileKey
  /** label of the revision that has it */
  of: string
  kind: SnagKind
  severity: Severity
  part?: string
  minutes?: number
  detail: string
  /** label of the revision without it, or whether its sculptor knows */
  mendedIn?: string
  acknowledged?: true
  /** days since it was found; left out: some weeks after the revision */
  found?: number
}

const snags: readonly DemoSnag[] = [
  {
    ...{
      file: 'reed-sentries',
      of: '1.0',
      kind: 'too light supports',
      severity: 'costs time',
      part: 'cloaks',
      minutes: 15,
    },
    ...{ detail: 'Tips let go along the cloak hems. Adding six heavier ones holds it.', mendedIn: '2.0' },
  },
  {
    ...{ file: 'reed-sentries', of: '1.0', kind: 'unsupported part', severity: 'stops the print', part: 'banner tip' },
    ...{ detail: 'An island some 4 mm above the hand.', mendedIn: '2.0' },
  },
  {
    ...{ file: 'reed-sentries', of: '2.0', kind: 'fragile detail', severity: 'only looks', part: 'bow strings' },
    ...{ detail: 'Half of the strings break on clean-up. Nobody notices once painted.' },
  },
  {
    ...{ file: 'sedge-walkers', of: '1.1', kind: 'unsupported part', severity: 'stops the print', part: 'left arm' },
    ...{
      detail: 'The left arm of the second body starts in mid-air: it ends up in the vat every time.',
      acknowledged: true,
    },
  },
  {
    ...{ file: 'sedge-walkers', of: '1.1', kind: 'missing option', severity: 'only looks', part: 'banner' },
    ...{ detail: 'The picture shows a banner, the download has none.' },
  },
  {
    ...{
      file: 'bog-bows',
      of: '2',
      kind: 'too light supports',
      severity: 'costs time',
      part: 'whole body',
      minutes: 30,
    },
    ...{ detail: 'I strip them and make my own, about half an hour for the lot.' },
  },
  {
    ...{ file: 'bog-bows', of: '2', kind: 'broken mesh', severity: 'only looks', part: 'quiver' },
    ...{ detail: 'A face points inwards. Most programs mend it without asking.' },
  },
  {
    ...{ file: 'watch-on-the-dyke', of: '1.0', kind: 'fragile detail', severity: 'only looks', part: 'reed pipes' },
    ...{ detail: 'Thin as hair. Print a spare head.' },
  },
  {
    ...{ file: 'fen-pickets', of: '1.0', kind: 'dead link', severity: 'only looks' },
    ...{
      detail: 'All pages are gone; the sculptor wrote that the set will not come back.',
      acknowledged: true,
      found: 130,
    },
  },
  {
    ...{
      file: 'quiet-wardens',
      of: '1.0',
      kind: 'missing option',
      severity: 'costs time',
      part: 'bare heads',
      minutes: 10,
    },
    ...{ detail: 'Hoods only. I cut two and put spare heads on.' },
  },
  {
    ...{
      file: 'pressed-hundred',
      of: '1.0',
      kind: 'too light supports',
      severity: 'costs time',
      part: 'clubs',
      minutes: 25,
    },
    ...{ detail: 'Clubs bend off sideways.', mendedIn: '1.2' },
  },
  {
    ...{ file: 'pressed-hundred', of: '1.2', kind: 'wrong scale', severity: 'costs time', minutes: 10 },
    ...{ detail: 'Comes out a head too small: scale by 108 % and check the spear shafts.' },
  },
  {
    ...{
      file: 'slingers-in-the-silt',
      of: '1.0',
      kind: 'unsupported part',
      severity: 'costs time',
      part: 'slings',
      minutes: 15,
    },
    ...{ detail: 'The pouch of each sling hangs free.', mendedIn: '1.1' },
  },
  {
    ...{
      file: 'grey-leg-riders',
      of: '1.0',
      kind: 'too light supports',
      severity: 'costs time',
      part: 'bird legs',
      minutes: 30,
    },
    ...{ detail: 'The legs carry the whole rider for an hour before anything else helps.', mendedIn: '2.0' },
  },
  {
    ...{
      file: 'stilt-cavalry',
      of: '1.0',
      kind: 'fragile detail',
      severity: 'costs time',
      part: 'lances',
      minutes: 12,
    },
    ...{ detail: 'Swap them for 1 mm wire before the first game.' },
  },
  {
    ...{ file: 'wading-knights', of: '1.0', kind: 'wrong scale', severity: 'only looks' },
    ...{ detail: 'Riders are rather large for 28 mm.' },
  },
  {
    ...{
      file: 'tallow-mother-enthroned',
      of: '1',
      kind: 'trapped-resin hollow',
      severity: 'costs time',
      part: 'throne',
      minutes: 15,
    },
    ...{ detail: 'The seat is hollow without a hole. Drill one underneath, or it weeps for weeks.' },
  },
  {
    ...{
      file: 'sluicegate-giant',
      of: 'B',
      kind: 'trapped-resin hollow',
      severity: 'costs time',
      part: 'torso',
      minutes: 20,
    },
    ...{ detail: 'Needs a second drain hole in the back.', acknowledged: true },
  },
  {
    ...{ file: 'gate-that-walks', of: '1.0', kind: 'too light supports', severity: 'stops the print', part: 'gate' },
    ...{ detail: 'The gate tears off under its own weight, whichever way I turn it.', mendedIn: '2.0' },
  },
  {
    ...{ file: 'gate-that-walks', of: '2.0', kind: 'wrong scale', severity: 'costs time', minutes: 5 },
    ...{ detail: 'Made for 32 mm; scale to 88 % for our tables.' },
  },
  {
    ...{ file: 'old-lamprey', of: '1', kind: 'broken mesh', severity: 'costs time', part: 'inner teeth', minutes: 30 },
    ...{ detail: 'Teeth pass through the gums and leave holes in some layers.' },
  },
  {
    ...{
      file: 'punt-with-mortar',
      of: '1.0',
      kind: 'unsupported part',
      severity: 'costs time',
      part: 'awning pole',
      minutes: 5,
    },
    ...{ detail: 'One support at the end of the pole does it.' },
  },
  {
    ...{ file: 'flatboat-battery', of: 'A', kind: 'missing option', severity: 'only looks', part: 'oars' },
    ...{ detail: 'No oars. Matchsticks.' },
  },
  {
    ...{ file: 'debt-men', of: '1', kind: 'wrong scale', severity: 'only looks' },
    ...{ detail: 'On 25 mm bases; a ring under them brings them to 32.' },
  },
  {
    ...{
      file: 'house-on-the-march',
      of: '2',
      kind: 'trapped-resin hollow',
      severity: 'stops the print',
      part: 'upper floor',
    },
    ...{
      detail: 'Closed on all sides. Mine cracked open after a fortnight. Wait for the next revision.',
      acknowledged: true,
    },
  },
  {
    ...{
      file: 'pikes-of-the-blue-glaze',
      of: '1.0',
      kind: 'too light supports',
      severity: 'costs time',
      part: 'pikes',
      minutes: 25,
    },
    ...{ detail: 'Pikes wave about in the vat.', mendedIn: '1.1' },
  },
  {
    ...{
      file: 'pikes-of-the-blue-glaze',
      of: '1.1',
      kind: 'unsupported part',
      severity: 'costs time',
      part: 'left hands',
      minutes: 10,
    },
    ...{ detail: 'Better than before, but three left hands still start in the air.', mendedIn: '2.0' },
  },
  {
    ...{ file: 'long-poles', of: '1', kind: 'fragile detail', severity: 'costs time', part: 'pole ends', minutes: 25 },
    ...{ detail: 'They snap in the box. Use wire.' },
  },
  {
    ...{
      file: 'sweeps-with-hooks',
      of: '1.0',
      kind: 'unsupported part',
      severity: 'costs time',
      part: 'hook tips',
      minutes: 10,
    },
    ...{ detail: 'Tips of the hooks missing on every second one.', mendedIn: '1.1' },
  },
  {
    ...{
      file: 'riders-of-the-tip',
      of: '1.0',
      kind: 'too light supports',
      severity: 'stops the print',
      part: 'ox bellies',
    },
    ...{ detail: 'Bellies sag and then peel off.', mendedIn: '1.1' },
  },
  {
    ...{
      file: 'riders-of-the-tip',
      of: '1.1',
      kind: 'too light supports',
      severity: 'costs time',
      part: 'saddle furnace',
      minutes: 15,
    },
    ...{ detail: 'Furnace leans.', mendedIn: '1.2' },
  },
  {
    ...{
      file: 'dancers-on-shards',
      of: '1.0',
      kind: 'unsupported part',
      severity: 'costs time',
      part: 'left arm',
      minutes: 5,
    },
    ...{ detail: 'Left arm of the third dancer needs one support more.' },
  },
  {
    ...{
      file: 'modular-cinder-barge',
      of: '1.0',
      kind: 'broken mesh',
      severity: 'costs time',
      part: 'rear section',
      minutes: 20,
    },
    ...{ detail: 'Sections two and three overlap by a millimetre; a file helps, the tool kind.' },
  },
  {
    ...{ file: 'raw-clay-giant', of: '1', kind: 'trapped-resin hollow', severity: 'only looks', part: 'left foot' },
    ...{ detail: 'A small pocket in the heel.' },
  },
]

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
      ...{
        id: id(createdAt),
        fileId: files.ids[file],
        revisionId: files.revisionIds[file][revision] ?? '',
        kind,
        severity,
      },
      ...{ part, minutes, detail, state, createdBy: memberIds[finder], createdAt, version: state === 'open' ? 1 : 2 },
      mendedInRevisionId: mendedIn === undefined ? null : (files.revisionIds[file][revisionOf(file, mendedIn)] ?? null),
    }
  })
}

/** Whoever has the file and a printer, and had joined by then. */
const findersOf = (file: FileKey, ago: number): readonly MemberKey[] =>
  (fileOf(file).heldBy ?? memberKeys).filter((key) => members[key].joined > ago && key !== 'anwen')
