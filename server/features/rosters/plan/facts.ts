import type { Db } from '../../../../db/connect.ts'
import { baseOf } from '../../../http/base.ts'
import type { Group } from '../../../http/group.ts'
import type { Viewer } from '../../../http/session.ts'
import { factsFor } from '../../answers/facts.ts'
import { modelOf } from '../../evidence/queries.ts'
import { usualOf } from '../../printers/own.ts'
import { fieldShare } from '../../votes/rules.ts'
import { type EntryRow, entriesOf } from '../entries.ts'
import { unhurried } from './unhurried.ts'

export type RosterFacts = Awaited<ReturnType<typeof rosterFacts>>

/** All that a plan for the member is made from: the facts that answers are ranked by, for every entry's files at once. */
export async function rosterFacts(hurried: Db, viewer: Viewer, rosterId: string, group: Group) {
  const db = unhurried(hurried)
  const entries = await entriesOf(db, rosterId)
  const unitIds = [...new Set(entries.flatMap(({ unitId }) => unitId ?? []))]
  const standIns = await standInsOf(db, unitIds)
  const fileIds = [...new Set([...standIns.values()].flat())]
  return {
    group,
    viewer,
    entries,
    standIns,
    shares: await sharesOf(db, unitIds),
    ...(await factsFor(db, viewer, fileIds, { own: true, group })),
    // The ranking goes by a normal plate; a plan is printed as the member fills theirs.
    plate: (await modelOf(db)).plates[viewer.defaultCrowding],
    crowding: viewer.defaultCrowding,
    printer: await printerOf(db, viewer),
  }
}

/** The files that stand in for an entry. */
export const filesFor = ({ standIns }: Pick<RosterFacts, 'standIns'>, { unitId }: Pick<EntryRow, 'unitId'>) =>
  unitId === null ? [] : (standIns.get(unitId) ?? [])

async function standInsOf(db: Db, unitIds: string[]): Promise<Map<string, string[]>> {
  if (unitIds.length === 0) return new Map()
  const rows = await db.selectFrom('fileUnit').selectAll().where('unitId', 'in', unitIds).orderBy('fileId').execute()
  const byUnit = Map.groupBy(rows, ({ unitId }) => unitId)
  return new Map([...byUnit].map(([unitId, some]) => [unitId, some.map(({ fileId }) => fileId)]))
}

export const shareKey = (unitId: string, fileId: string) => `${unitId} ${fileId}`

/** Share of the group that would field a file for a unit, each member's newest answer counted; by `shareKey`. */
async function sharesOf(db: Db, unitIds: string[]): Promise<Map<string, number>> {
  if (unitIds.length === 0) return new Map()
  const rows = await db
    .with('newest', (cte) =>
      cte
        .selectFrom('vote')
        .innerJoin('proposal', 'proposal.id', 'vote.proposalId')
        .innerJoin('request', 'request.id', 'proposal.requestId')
        .select(['request.unitId', 'proposal.fileId', 'vote.memberId', 'vote.wouldField'])
        .distinctOn(['request.unitId', 'proposal.fileId', 'vote.memberId'])
        .where('request.unitId', 'in', unitIds)
        .orderBy('request.unitId')
        .orderBy('proposal.fileId')
        .orderBy('vote.memberId')
        .orderBy('vote.createdAt', 'desc'),
    )
    .selectFrom('newest')
    .select((eb) => [
      'unitId',
      'fileId',
      eb.fn.countAll<number>().filterWhere('wouldField', '=', true).as('yes'),
      eb.fn.countAll<number>().filterWhere('wouldField', '=', false).as('no'),
    ])
    .groupBy(['unitId', 'fileId'])
    .execute()
  return new Map(rows.map(({ unitId, fileId, yes, no }) => [shareKey(unitId, fileId), fieldShare(yes, no)]))
}

/** The member's usual printer, or the first that they use, as the ranking chooses it. */
async function printerOf(db: Db, viewer: Viewer) {
  const inUse = await db
    .selectFrom('printer')
    .select(['id', 'name', 'plateWidthMm', 'plateDepthMm', 'buildHeightMm', 'layerUm', 'exposureS', 'bottomLayers'])
    .select(['bottomExposureS', 'cycleOverheadS'])
    .where('ownerId', '=', viewer.id)
    .where('state', '=', 'in use')
    .orderBy('id')
    .execute()
  return usualOf(inUse, viewer) ?? null
}

/** What a file's base and height are, for the plates. */
export function shapeOf(facts: Pick<RosterFacts, 'files'>, fileId: string) {
  const file = facts.files.get(fileId)
  return { base: file ? baseOf(file) : null, heightMm: file?.heightMm ?? null }
}
