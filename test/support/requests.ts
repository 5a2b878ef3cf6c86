import type { Person } from './app.ts'
import { aFile, aUnit, made } from './catalogue.ts'

type Over = Record<string, unknown>

/** An open request for ten of a unit of its own, unless `over` names one. */
export async function aRequest(person: Person, over: Over = {}): Promise<{ id: string; unit: { id: string } }> {
  const unitId = over.unit || over.unitId ? undefined : (await aUnit(person)).id
  return made(await person.post('/requests', { wanted: 10, ...(unitId && { unitId }), ...over }))
}

/** A file proposed for a request: a new one with a purchase for 9.00 EUR, unless `over` names one. */
export async function aProposal(
  person: Person,
  requestId: string,
  over: Over = {},
): Promise<{ id: string; file: { id: string; title: string } }> {
  const offer = { kind: 'purchase', price: { amount: '9.00', currency: 'EUR' } }
  const fileId = over.fileId ?? (await aFile(person, { offer })).id
  return made(await person.post(`/requests/${requestId}/proposals`, { ...over, fileId }))
}
