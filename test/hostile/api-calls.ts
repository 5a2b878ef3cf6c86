import { type Person, password } from '../support/app.ts'
import { aFile, measureBody } from '../support/catalogue.ts'
import { aPrinter, plateBody, reportBody } from '../support/printing.ts'
import {
  alone,
  aMember,
  anybody,
  aSessionOf,
  aTiedReport,
  body,
  type Call,
  entryWith,
  euros,
  fileOf,
  fresh,
  hidden,
  idleSculptor,
  joining,
  likewiseWith,
  members,
  nothing,
  of,
  own,
  picture,
  plate,
  printerBody,
  report,
  resinBody,
  revisionOf,
  sculptor,
  stewards,
  twoOf,
} from './call.ts'
import { anInvitation, aWayBack, things } from './things.ts'

/** Supports that the member measured. */
const supported = async (by: Person) => ({ id: (await things.measured(by)).supportSetId })
const unsentPicture = () => ({ body: { pictures: ['ab'.repeat(32)] } })

/** Every route of the REST API, and who may call it. */
export const apiCalls: Record<string, Call> = {
  'GET /api/v1/openapi.json': { may: anybody(200), ask: nothing },
  'POST /api/v1/setup': {
    may: anybody(409),
    ask: async () => ({ body: { groupName: 'Another', currency: 'EUR', owner: joining() } }),
  },
  'POST /api/v1/sessions': { may: anybody(401), ask: body({ email: 'nobody@group.example', password: 'wrong one' }) },
  'DELETE /api/v1/sessions/current': {
    may: members(204),
    ask: async (cast, person) => ({ by: await cast.again(person) }),
  },

  'GET /api/v1/sessions': { may: members(), ask: nothing },
  'DELETE /api/v1/sessions/:id': {
    may: members(204),
    ask: async (cast, person) => ({ params: [await aSessionOf(cast, person)] }),
  },

  'GET /api/v1/invitations': { may: stewards(200), ask: nothing },
  'POST /api/v1/invitations': { may: stewards(201), ask: body({}) },
  'DELETE /api/v1/invitations/:id': {
    may: stewards(204),
    ask: async ({ owner }) => ({ params: [(await anInvitation(owner)).id] }),
  },
  'POST /api/v1/invitations/:id/accept': {
    may: anybody(201),
    ask: async (cast, person) => ({
      params: [(await anInvitation(cast.owner)).code],
      body: joining(),
      by: await cast.again(person),
    }),
  },

  'GET /api/v1/members': { may: members(), ask: nothing },
  'GET /api/v1/members/:id': { may: members(), ask: async ({ author }) => ({ params: [author.id] }) },
  'PATCH /api/v1/members/:id': { may: own(200), ask: aMember({ body: { state: 'left' } }) },
  'DELETE /api/v1/members/:id/sessions': { may: stewards(204), ask: aMember({}) },
  'POST /api/v1/members/:id/way-back': { may: [401, 403, 403, 201, 201], ask: aMember({}) },
  'POST /api/v1/way-back/:code': {
    may: anybody(201),
    ask: async (cast, person) => ({
      params: [await aWayBack(cast.owner, (await cast.newcomer()).id)],
      body: { password },
      by: await cast.again(person),
    }),
  },
  'GET /api/v1/me': { may: members(), ask: nothing },
  'PATCH /api/v1/me': { may: members(), ask: likewiseWith({ body: { defaultCrowding: 'half empty' } }) },

  'GET /api/v1/settings': { may: members(), ask: nothing },
  'PATCH /api/v1/settings': { may: stewards(200), ask: body({ timePerHour: euros('2.00') }) },
  'GET /api/v1/settings/rates': { may: members(), ask: nothing },
  'PUT /api/v1/settings/rates/:currency': {
    may: stewards(200),
    ask: async () => ({ params: ['USD'], body: { worth: 0.9 } }),
  },
  'DELETE /api/v1/settings/rates/:currency': {
    may: stewards(204),
    ask: async ({ owner }) => {
      await owner.put('/settings/rates/CHF', { worth: 1.05 })
      return { params: ['CHF'] }
    },
  },

  'GET /api/v1/units': { may: members(), ask: nothing },
  'POST /api/v1/units': { may: members(201), ask: async () => ({ body: { name: fresh('Peat Herons'), scaleMm: 28 } }) },
  'GET /api/v1/units/:id': { may: members(), ask: of(things.unit) },
  'PATCH /api/v1/units/:id': { may: own(200), ask: of(things.unit, () => ({ body: { modelsPerUnit: 3 } })) },
  'POST /api/v1/units/:id/merge': { may: stewards(200), ask: twoOf(things.unit, (into) => ({ body: { into } })) },
  'DELETE /api/v1/units/:id': { may: own(204), ask: of(things.unit) },
  'GET /api/v1/units/:id/answers': { may: members(), ask: of(things.unit) },

  'GET /api/v1/files': { may: members(), ask: nothing },
  'POST /api/v1/files': {
    may: members(201),
    ask: async () => ({ body: { title: fresh('Heron Masks'), sculptor: { name: 'Pewter Lane' } } }),
  },
  'GET /api/v1/files/:id': { may: members(), ask: of(things.file) },
  'GET /api/v1/files/:id/chances': { may: members(), ask: of(things.file) },
  'PATCH /api/v1/files/:id': { may: own(200), ask: of(things.file, () => ({ body: { resinMl: 7 } })) },
  'POST /api/v1/files/:id/merge': { may: stewards(200), ask: twoOf(things.file, (into) => ({ body: { into } })) },
  'DELETE /api/v1/files/:id': { may: own(204), ask: of(things.file) },
  'GET /api/v1/sculptors': { may: members(), ask: nothing },
  'GET /api/v1/sculptors/:id': { may: members(), ask: of(sculptor) },
  'PATCH /api/v1/sculptors/:id': { may: stewards(200), ask: of(sculptor, () => ({ body: { credit: 'named' } })) },
  'POST /api/v1/sculptors/:id/merge': { may: stewards(200), ask: twoOf(sculptor, (into) => ({ body: { into } })) },
  'DELETE /api/v1/sculptors/:id': { may: stewards(204), ask: idleSculptor },
  'POST /api/v1/files/:id/revisions': {
    may: members(201),
    ask: of(things.file, () => ({ body: { label: 'second' } })),
  },
  'GET /api/v1/revisions/:id': { may: members(), ask: of(revisionOf) },
  'PATCH /api/v1/revisions/:id': { may: own(200), ask: of(revisionOf, () => ({ body: { label: fresh('mended') } })) },
  'POST /api/v1/revisions/:id/support-sets': {
    may: members(201),
    ask: of(revisionOf, () => ({ body: { kind: 'own supports' } })),
  },

  'POST /api/v1/files/:id/offers': {
    may: members(201),
    ask: of(things.file, () => ({ body: { kind: 'purchase', price: euros('4.00') } })),
  },
  'POST /api/v1/offers': {
    may: members(201),
    ask: async ({ author }) => ({
      body: { kind: 'bundle', price: euros('20.00'), fileIds: [(await things.file(author)).id] },
    }),
  },
  'GET /api/v1/offers/:id': { may: members(), ask: of(things.offer) },
  'PATCH /api/v1/offers/:id': { may: own(200), ask: of(things.offer, () => ({ body: { state: 'withdrawn' } })) },

  'GET /api/v1/revisions/:id/measure': { may: members(), ask: of(things.measured) },
  'PUT /api/v1/revisions/:id/measure': { may: own(200), ask: of(things.measured, () => ({ body: measureBody() })) },
  'DELETE /api/v1/revisions/:id/measure': { may: own(204), ask: of(things.measured) },
  'GET /api/v1/support-sets/:id/measure': { may: members(), ask: of(supported) },
  'PUT /api/v1/support-sets/:id/measure': { may: own(200), ask: of(supported, () => ({ body: measureBody() })) },
  'DELETE /api/v1/support-sets/:id/measure': { may: own(204), ask: of(supported) },

  'POST /api/v1/files/:id/snags': {
    may: members(201),
    ask: of(fileOf, ({ revisionId }) => ({ body: { revisionId, kind: 'broken mesh', severity: 'stops the print' } })),
  },
  'GET /api/v1/snags/:id': { may: members(), ask: of(things.snag) },
  'PATCH /api/v1/snags/:id': {
    may: own(200),
    ask: of(things.snag, ({ later }) => ({ body: { state: 'mended', mendedInRevisionId: later } })),
  },

  'GET /api/v1/requests': { may: members(), ask: nothing },
  'POST /api/v1/requests': {
    may: members(201),
    ask: async ({ author }) => ({ body: { unitId: (await things.unit(author)).id, wanted: 5 } }),
  },
  'GET /api/v1/requests/:id': { may: members(), ask: of(things.request) },
  'PATCH /api/v1/requests/:id': { may: own(200), ask: of(things.request, () => ({ body: { state: 'withdrawn' } })) },
  'GET /api/v1/requests/:id/answers': { may: members(), ask: of(things.request) },
  'GET /api/v1/requests/:id/proposals': { may: members(), ask: of(things.request) },
  'POST /api/v1/requests/:id/proposals': {
    may: members(201),
    ask: of(things.request, async (_, { author }) => ({ body: { fileId: (await aFile(author)).id } })),
  },
  'GET /api/v1/proposals/:id': { may: members(), ask: of(things.proposal) },
  'DELETE /api/v1/proposals/:id': { may: own(204), ask: of(things.proposal) },
  'PUT /api/v1/proposals/:id/vote': {
    may: members(),
    ask: of(things.proposal, () => ({ body: { wouldField: true } })),
  },
  'DELETE /api/v1/proposals/:id/vote': { may: members(), ask: of(things.proposal) },

  'GET /api/v1/archive': { may: members(), ask: nothing },
  'PUT /api/v1/archive/:fileId': { may: members(204), ask: of(things.file) },
  // Striking out what is not there leaves it not there.
  'DELETE /api/v1/archive/:fileId': { may: members(204), ask: of(things.file), unknown: 204 },
  'GET /api/v1/memberships': { may: members(), ask: nothing },
  'PUT /api/v1/memberships/:offerId': { may: members(204), ask: of(things.membership) },
  'DELETE /api/v1/memberships/:offerId': { may: members(204), ask: of(things.membership), unknown: 204 },

  'GET /api/v1/printers': { may: members(), ask: nothing },
  'POST /api/v1/printers': { may: members(201), ask: async () => ({ body: { ...printerBody, name: fresh('Loft') } }) },
  'GET /api/v1/printers/:id': { may: members(), ask: of(things.printer) },
  'PATCH /api/v1/printers/:id': { may: own(200), ask: of(things.printer, () => ({ body: { exposureS: 3 } })) },
  'POST /api/v1/printers/:id/upkeep': {
    may: own(201),
    ask: of(things.printer, () => ({ body: { kind: 'film changed', on: '2025-05-01' } })),
  },
  'GET /api/v1/upkeep/:id': { may: members(), ask: of(things.upkeep) },
  'DELETE /api/v1/upkeep/:id': { may: own(204), ask: of(things.upkeep) },
  'GET /api/v1/resins': { may: members(), ask: nothing },
  'POST /api/v1/resins': { may: members(201), ask: async () => ({ body: { ...resinBody, name: fresh('Peat') } }) },
  'GET /api/v1/resins/:id': { may: hidden(200), ask: of(things.resin) },
  'PATCH /api/v1/resins/:id': { may: hidden(200), ask: of(things.resin, () => ({ body: { gramsPerMl: 1.2 } })) },
  'DELETE /api/v1/resins/:id': { may: hidden(204), ask: of(things.resin) },
  'GET /api/v1/plates': { may: members(), ask: nothing },
  'POST /api/v1/plates': {
    may: alone(201),
    ask: async ({ author }) => {
      const { supportSetId } = await things.printable(author)
      return { body: plateBody([{ supportSetId }], { printerId: (await aPrinter(author)).id }) }
    },
  },
  'GET /api/v1/plates/:id': { may: members(), ask: of(plate) },
  'PATCH /api/v1/plates/:id': { may: alone(200), ask: of(plate, () => ({ body: { crowding: 'packed' } })) },
  'DELETE /api/v1/plates/:id': { may: own(204), ask: of(plate) },
  'GET /api/v1/reports': { may: members(), ask: nothing },
  'POST /api/v1/reports': {
    may: alone(201),
    ask: async ({ author }) => {
      const { supportSetId } = await things.printable(author)
      return { body: reportBody({ supportSetId, printerId: (await aPrinter(author)).id }) }
    },
  },
  'GET /api/v1/reports/:id': { may: members(), ask: of(report) },
  'PATCH /api/v1/reports/:id': { may: alone(200), ask: of(report, () => ({ body: { crowding: 'packed' } })) },
  'DELETE /api/v1/reports/:id': { may: own(204), ask: of(report) },
  // A picture that nobody has sent: it would be fine with one (test/features/printing/pictures.test.ts).
  'POST /api/v1/reports/:id/photos': { may: alone(422), ask: of(report, unsentPicture) },
  'POST /api/v1/files/:id/photos': { may: members(422), ask: of(things.file, unsentPicture) },
  'POST /api/v1/proposals/:id/photos': { may: members(422), ask: of(things.proposal, unsentPicture) },
  'GET /api/v1/files/:id/photos': { may: members(), ask: of(things.file) },
  'PUT /api/v1/files/:id/face': { may: stewards(204), ask: of(things.file, () => ({ body: { pictureId: null } })) },
  'GET /api/v1/photos/:id': { may: members(), ask: of(picture) },
  'PATCH /api/v1/photos/:id': { may: own(200), ask: of(picture, () => ({ body: { alt: 'A heron' } })) },
  'DELETE /api/v1/photos/:id': { may: own(204), ask: of(picture) },
  'GET /api/v1/reports/:id/verdict': { may: members(), ask: of(report) },

  'GET /api/v1/rosters': { may: members(), ask: nothing },
  'POST /api/v1/rosters': { may: members(201), ask: body({ name: 'Spring muster', text: '6 x Fen Wardens' }) },
  'GET /api/v1/rosters/:id': { may: members(), ask: of(things.roster) },
  'PATCH /api/v1/rosters/:id': { may: alone(200), ask: of(things.roster, () => ({ body: { name: 'Autumn' } })) },
  'DELETE /api/v1/rosters/:id': { may: alone(204), ask: of(things.roster) },
  'POST /api/v1/rosters/:id/copy': { may: members(201), ask: of(things.roster, () => ({ body: {} })) },
  'POST /api/v1/rosters/:id/entries': {
    may: alone(201),
    ask: of(things.roster, () => ({ body: { text: '3 x Tide Clerks' } })),
  },
  'PATCH /api/v1/rosters/:id/entries/:entryId': { may: alone(200), ask: entryWith({ body: { models: 3 } }) },
  'DELETE /api/v1/rosters/:id/entries/:entryId': { may: alone(204), ask: entryWith({}) },
  'POST /api/v1/rosters/:id/requests': {
    may: alone(201),
    ask: of(things.roster, ({ entryId = '' }) => ({ body: { entryIds: [entryId] } })),
  },
  'POST /api/v1/rosters/:id/plan': { may: alone(202), ask: of(things.roster, () => ({ body: {} })) },
  'GET /api/v1/rosters/:id/plan': { may: alone(200), ask: of(things.plan) },
  'POST /api/v1/rosters/:id/plan/stop': { may: alone(204), ask: of(things.plan) },
  'GET /api/v1/rosters/:id/plan/what-ifs': { may: alone(200), ask: of(things.plan) },
  'GET /api/v1/rosters/:id/spend': { may: alone(200), ask: of(things.plan) },
  'POST /api/v1/rosters/:id/purchases': {
    may: alone(201),
    ask: of(things.plan, ({ offerId }) => ({ body: { offerId, paid: euros('8.00') } })),
  },
  'DELETE /api/v1/rosters/:id/purchases/:purchaseId': {
    may: alone(204),
    ask: async ({ author }) => {
      const { id, purchaseId } = await things.spend(author)
      return { params: [id, purchaseId] }
    },
  },
  'POST /api/v1/rosters/:id/spend-lines': {
    may: alone(201),
    ask: of(things.roster, () => ({ body: { words: 'Bases', amount: euros('4.50') } })),
  },
  'DELETE /api/v1/rosters/:id/spend-lines/:lineId': {
    may: alone(204),
    ask: async ({ author }) => {
      const { id, lineId } = await things.spend(author)
      return { params: [id, lineId] }
    },
  },
  'PUT /api/v1/rosters/:id/entries/:entryId/reports/:reportId': { may: alone(204), ask: aTiedReport },
  'DELETE /api/v1/rosters/:id/entries/:entryId/reports/:reportId': { may: alone(204), ask: aTiedReport },

  'GET /api/v1/scoring/fit': { may: members(), ask: nothing },
  'POST /api/v1/scoring/fit': { may: stewards(200), ask: nothing },
}
