import { expect } from 'vitest'
import type { Person } from '../support/app.ts'
import { aFile, aMeasure, anOffer, aRevision, aSnag, aUnit, made } from '../support/catalogue.ts'
import { aJpeg, asFile, sendPictures } from '../support/pictures.ts'
import { aPlate, aPrintable, aPrinter, aReport, aResin, someUpkeep } from '../support/printing.ts'
import { aProposal, aRequest } from '../support/requests.ts'
import { aRoster, planned } from '../support/rosters.ts'

const month = { kind: 'membership', price: { amount: '10.00', currency: 'EUR' }, minMonths: 1 }

/** One of everything that a member can make, each by itself. What hangs on something else makes that too. */
export const things = {
  unit: async (by: Person) => ({ id: (await aUnit(by)).id }),
  file: async (by: Person) => ({ id: (await aFile(by)).id }),
  printable: (by: Person) => aPrintable(by),
  revision: async (by: Person) => ({ id: (await aRevision(by, (await aFile(by)).id)).id }),
  offer: async (by: Person) => {
    const fileId = (await aFile(by)).id
    return { id: (await anOffer(by, fileId)).id, fileId }
  },
  membership: async (by: Person) => ({ id: (await anOffer(by, (await aFile(by)).id, month)).id }),
  snag: async (by: Person) => {
    const { fileId, revisionId } = await aPrintable(by)
    const later = await aRevision(by, fileId)
    return { ...(await aSnag(by, fileId, revisionId)), fileId, later: later.id }
  },
  measured: async (by: Person) => {
    const { revisionId, supportSetId } = await aPrintable(by)
    for (const path of [`/revisions/${revisionId}`, `/support-sets/${supportSetId}`]) await aMeasure(by, path)
    return { id: revisionId, supportSetId }
  },
  printer: async (by: Person) => ({ id: (await aPrinter(by)).id }),
  resin: async (by: Person) => ({ id: (await aResin(by)).id }),
  upkeep: async (by: Person) => ({ id: (await someUpkeep(by, (await aPrinter(by)).id, '2025-05-01')).id }),
  report: async (by: Person) => {
    const { supportSetId } = await aPrintable(by)
    const printerId = (await aPrinter(by)).id
    const { id, plateId } = await aReport(by, { supportSetId, printerId })
    return { id, plateId, supportSetId, printerId }
  },
  picture: async (by: Person) => {
    const { id: fileId } = await aFile(by)
    const answer = await sendPictures(by, `/api/v1/files/${fileId}/photos`, [asFile(await aJpeg(64, 48))])
    return {
      ...(made<{ items: { id: string; src: string }[] }>(answer).items[0] as { id: string; src: string }),
      fileId,
    }
  },
  /** A plate of two prints. */
  plate: async (by: Person) => {
    const [one, other] = [await aPrintable(by), await aPrintable(by)]
    const printerId = (await aPrinter(by)).id
    const { id } = await aPlate(
      by,
      [one, other].map(({ supportSetId }) => ({ supportSetId })),
      { printerId },
    )
    return { id, printerId, fileId: one.fileId, supportSetId: one.supportSetId }
  },
  request: async (by: Person) => {
    const { id, unit } = await aRequest(by)
    return { id, unitId: unit.id }
  },
  withdrawn: async (by: Person) => {
    const { id } = await aRequest(by)
    await by.patch(`/requests/${id}`, { state: 'withdrawn' })
    return { id }
  },
  proposal: async (by: Person) => {
    const requestId = (await aRequest(by)).id
    const { id, file } = await aProposal(by, requestId)
    return { id, requestId, fileId: file.id }
  },
  roster: async (by: Person) => {
    const { name: unit } = await aUnit(by)
    const { id, entries } = await aRoster(by, { text: `6 x ${unit}`, shared: true })
    return { id, entryId: entries[0]?.id ?? '' }
  },
  plan: async (by: Person) => {
    const { id: unitId, name } = await aUnit(by)
    const file = await aFile(by, { standsInFor: [unitId] })
    const offer = await anOffer(by, file.id)
    const { id, entries } = await aRoster(by, { text: `6 x ${name}`, shared: true })
    await planned(by, id)
    return { id, entryId: entries[0]?.id ?? '', fileId: file.id, offerId: offer.id }
  },
  /** A roster with a report of the member's that counts for its entry, and a purchase. */
  spend: async (by: Person) => {
    const { id, entryId, offerId } = await things.plan(by)
    const reportId = (await things.report(by)).id
    await by.put(`/rosters/${id}/entries/${entryId}/reports/${reportId}`)
    const paid = { amount: '9.00', currency: 'EUR' }
    const purchase = made(await by.post(`/rosters/${id}/purchases`, { offerId, paid }))
    const line = made(await by.post(`/rosters/${id}/spend-lines`, { words: 'Bases', amount: paid }))
    return { id, entryId, reportId, purchaseId: purchase.id, lineId: line.id }
  },
} as const

/** The sculptor of a file. */
export async function sculptorOf(by: Person, fileId: string): Promise<string> {
  return (await by.get(`/files/${fileId}`)).json().sculptor.id
}

/** An invitation of the owner's: its id, and the code in its link. */
export async function anInvitation(owner: Person): Promise<{ id: string; code: string }> {
  const { id, url } = made<{ id: string; url: string }>(await owner.post('/invitations', {}))
  return { id, code: new URL(url).pathname.split('/').at(-1) ?? '' }
}

/** The code of a link by which a member who forgot their password gets back in. */
export async function aWayBack(owner: Person, memberId: string): Promise<string> {
  const answer = await owner.post(`/members/${memberId}/way-back`)
  expect(answer.statusCode).toBe(201)
  return new URL(answer.json().url).pathname.split('/').at(-1) ?? ''
}
