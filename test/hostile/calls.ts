import type { LightMyRequestResponse } from 'fastify'
import { type Person, password } from '../support/app.ts'
import { aFile } from '../support/catalogue.ts'
import { aPrinter, reportBody } from '../support/printing.ts'
import type { Cast } from './cast.ts'
import { anInvitation, aWayBack, sculptorOf, things } from './things.ts'

/** What a route answers to an outsider, another member, the one whose thing it is, a steward, the group's owner. */
export type Statuses = readonly [number, number, number, number, number]

/** One call of a route: what its address is about, what is sent along, and who sends it if not the one asked for. */
export interface Ask {
  params?: string[]
  body?: Record<string, unknown>
  form?: Record<string, string | string[]>
  by?: Person
}

export interface Call {
  may: Statuses
  /** A call that would be fine; what it is about is the author's. */
  ask: (cast: Cast, person: Person) => Promise<Ask>
  /** What the address of a thing that does not exist answers, if not 404. */
  unknown?: number
}

const anybody = (status: number): Statuses => [status, status, status, status, status]
const members = (status = 200): Statuses => [401, status, status, status, status]
const page: Statuses = [303, 200, 200, 200, 200]
/** The author's alone, as a page. */
const alonePage: Statuses = [303, 403, 200, 403, 403]
const ownPage: Statuses = [303, 403, 200, 200, 200]
/** The author's, and what stewards look after. */
const own = (status: number): Statuses => [401, 403, status, status, status]
/** The author's alone. */
const alone = (status: number): Statuses => [401, 403, status, 403, 403]
const stewards = (status: number): Statuses => [401, 403, 403, status, status]

const nothing = async (): Promise<Ask> => ({})
const body = (sent: Record<string, unknown>) => async (): Promise<Ask> => ({ body: sent })
const form =
  (sent: Ask['form'] = {}) =>
  async (): Promise<Ask> => ({ form: sent ?? {} })

type Made = { id: string } & Record<string, string>
type Sent = Omit<Ask, 'params'>
/** A call about a thing that the author has just made. */
const of =
  (make: (by: Person) => Promise<Made>, sent: (made: Made, cast: Cast) => Sent | Promise<Sent> = () => ({})) =>
  async (cast: Cast): Promise<Ask> => {
    const made = await make(cast.author)
    return { ...(await sent(made, cast)), params: [made.id] }
  }

const euros = (amount: string) => ({ amount, currency: 'EUR' })
let count = 0
const fresh = (name: string) => `${name} ${++count}`

const printerBody = {
  ...{ plateMm: [120, 70], buildHeightMm: 150, layerUm: 50, exposureS: 2, bottomLayers: 5, bottomExposureS: 30 },
  cycleOverheadS: 6,
}
const { plateMm: _sides, ...oneField } = printerBody
const printerForm = Object.fromEntries(
  Object.entries({ ...oneField, plateWidthMm: 120, plateDepthMm: 70 }).map(([name, value]) => [name, String(value)]),
)
const counts = { printedOn: '2025-06-01', crowding: 'normal', tried: '6', good: '6' }
const joining = () => ({ name: fresh('Nell'), email: `${fresh('nell').replace(' ', '.')}@group.example`, password })
const report = async (by: Person) => (await things.report(by)) as Made
const fileOf = async (by: Person): Promise<Made> => {
  const { fileId: id, ...rest } = await things.printable(by)
  return { ...rest, id }
}
const revisionOf = async (by: Person): Promise<Made> => ({ ...(await things.revision(by)) })
/** The file that an offer, snag or proposal of the author's is about. */
const sculptor = async (by: Person): Promise<Made> => ({ id: await sculptorOf(by, (await things.file(by)).id) })
/** Somebody of the same role whom nobody else needs; there is one owner alone. */
const likewise = async (cast: Cast, person: Person) => {
  const role = person === cast.steward ? 'steward' : 'member'
  return person === cast.owner || person === cast.outsider ? person : cast.newcomer(role)
}
const likewiseWith = (sent: Sent) => async (cast: Cast, person: Person) => ({
  ...sent,
  by: await likewise(cast, person),
})

/** An entry of a roster of the author's. */
const entryWith =
  (sent: Sent) =>
  async ({ author }: Cast): Promise<Ask> => {
    const { id, entryId } = await things.roster(author)
    return { ...sent, params: [id, entryId] }
  }

const aTiedReport = async ({ author }: Cast): Promise<Ask> => {
  const { id, entryId, reportId } = await things.spend(author)
  return { params: [id, entryId, reportId] }
}

/** A newcomer whom somebody, or they themself, changes. */
const aMember =
  (sent: Sent) =>
  async (cast: Cast, person: Person): Promise<Ask> => {
    const who = await cast.newcomer()
    return { ...sent, params: [who.id], ...(person === cast.author && { by: who }) }
  }

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
  'PATCH /api/v1/me': { may: members(), ask: likewiseWith({ body: { defaultCrowding: 'loose' } }) },

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
  'GET /api/v1/units/:id/answers': { may: members(), ask: of(things.unit) },

  'GET /api/v1/files': { may: members(), ask: nothing },
  'POST /api/v1/files': {
    may: members(201),
    ask: async () => ({ body: { title: fresh('Heron Masks'), sculptor: { name: 'Pewter Lane' } } }),
  },
  'GET /api/v1/files/:id': { may: members(), ask: of(things.file) },
  'GET /api/v1/files/:id/chances': { may: members(), ask: of(things.file) },
  'PATCH /api/v1/files/:id': { may: own(200), ask: of(things.file, () => ({ body: { resinMl: 7 } })) },
  'GET /api/v1/sculptors': { may: members(), ask: nothing },
  'GET /api/v1/sculptors/:id': { may: members(), ask: of(sculptor) },
  'PATCH /api/v1/sculptors/:id': { may: stewards(200), ask: of(sculptor, () => ({ body: { credit: 'named' } })) },
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

  'POST /api/v1/files/:id/snags': {
    may: members(201),
    ask: of(fileOf, ({ revisionId }) => ({ body: { revisionId, kind: 'broken mesh', severity: 'blocks' } })),
  },
  'GET /api/v1/snags/:id': { may: members(), ask: of(things.snag) },
  'PATCH /api/v1/snags/:id': {
    may: own(200),
    ask: of(things.snag, ({ later }) => ({ body: { state: 'fixed', fixedInRevisionId: later } })),
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
  'PATCH /api/v1/upkeep/:id': { may: own(200), ask: of(things.upkeep, () => ({ body: { on: '2025-05-02' } })) },
  'DELETE /api/v1/upkeep/:id': { may: own(204), ask: of(things.upkeep) },
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
  'POST /api/v1/rosters/:id/plan': { may: alone(200), ask: of(things.roster, () => ({ body: {} })) },
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
  'PUT /api/v1/rosters/:id/entries/:entryId/reports/:reportId': { may: alone(204), ask: aTiedReport },
  'DELETE /api/v1/rosters/:id/entries/:entryId/reports/:reportId': { may: alone(204), ask: aTiedReport },

  'GET /api/v1/scoring/fit': { may: members(), ask: nothing },
  'POST /api/v1/scoring/fit': { may: stewards(200), ask: nothing },
}

/** Every page and every form, and who gets it. */
export const pageCalls: Record<string, Call> = {
  'GET /assets/*': { may: anybody(404), ask: nothing },
  'GET /health/live': { may: anybody(200), ask: nothing },
  'GET /health/ready': { may: anybody(200), ask: nothing },
  'GET /setup': { may: anybody(409), ask: nothing },
  'POST /setup': { may: anybody(409), ask: form() },
  'GET /sign-in': { may: anybody(200), ask: nothing },
  'POST /sign-in': { may: anybody(422), ask: form({ email: 'nobody@group.example', password: 'wrong one' }) },
  'POST /sign-out': {
    may: anybody(303),
    ask: async (cast, person) => ({ form: {}, by: await cast.again(person) }),
  },
  'GET /invitations/:code': {
    may: anybody(200),
    ask: async ({ owner }) => ({ params: [(await anInvitation(owner)).code] }),
  },
  'POST /invitations/:code': {
    may: anybody(303),
    ask: async (cast, person) => ({
      params: [(await anInvitation(cast.owner)).code],
      form: joining(),
      by: await cast.again(person),
    }),
  },
  'GET /way-back/:code': {
    may: anybody(200),
    ask: async (cast) => ({ params: [await aWayBack(cast.owner, (await cast.newcomer()).id)] }),
  },
  'POST /way-back/:code': {
    may: anybody(303),
    ask: async (cast, person) => ({
      params: [await aWayBack(cast.owner, (await cast.newcomer()).id)],
      form: { password },
      by: await cast.again(person),
    }),
  },

  'GET /': { may: page, ask: nothing },
  'GET /search': { may: page, ask: nothing },
  'GET /help': { may: anybody(200), ask: nothing },
  'GET /api': { may: anybody(200), ask: nothing },

  'GET /members': { may: page, ask: nothing },
  'GET /members/:id': { may: page, ask: async ({ author }) => ({ params: [author.id] }) },
  'POST /members/invitations': { may: stewards(200), ask: form({ role: 'member', uses: '1', expiresInDays: '7' }) },
  // Pressed again, there is nothing left to do.
  'POST /members/invitations/:id/withdraw': {
    may: stewards(303),
    ask: async ({ owner }) => ({ params: [(await anInvitation(owner)).id], form: {} }),
    unknown: 303,
  },
  'POST /members/:id/role': {
    may: [401, 403, 403, 403, 303],
    ask: aMember({ form: { role: 'steward', version: '1' } }),
  },
  'POST /members/:id/state': { may: own(303), ask: aMember({ form: { state: 'left', version: '1' } }) },
  'POST /members/:id/way-back': { may: stewards(200), ask: aMember({ form: {} }) },
  'GET /me': { may: page, ask: nothing },
  'POST /me': {
    may: members(303),
    ask: likewiseWith({ form: { name: 'Nadja', defaultPrinterId: '', defaultCrowding: 'normal' } }),
  },
  'POST /me/address': {
    may: members(303),
    ask: async (cast, person) => {
      const by = await likewise(cast, person)
      return { form: { email: cast.emailOf(by), 'password.old': password }, by }
    },
  },
  'POST /me/password': {
    may: members(303),
    ask: likewiseWith({ form: { 'password.old': password, 'password.new': password } }),
  },
  'POST /me/sign-out-others': { may: members(303), ask: likewiseWith({ form: {} }) },
  'POST /me/leave': {
    may: [401, 303, 303, 303, 409],
    ask: likewiseWith({ form: {} }),
  },

  'GET /settings': { may: page, ask: nothing },
  'POST /settings': {
    may: stewards(303),
    ask: async ({ owner }) => ({
      form: {
        ...{ version: String((await owner.get('/settings')).json().version), name: 'The Thursday table' },
        ...{ locale: 'en-GB', timeZone: 'UTC', 'looksWorth.amount': '1.00', 'looksWorth.currency': 'EUR' },
        ...{ 'resinPricePerKg.amount': '35.00', 'resinPricePerKg.currency': 'EUR', resinGramsPerMl: '1.1' },
        ...{ resinMlPerModel: '10', 'cleanUp.amount': '0.50', 'cleanUp.currency': 'EUR' },
        ...{ 'timePerHour.amount': '0.00', 'timePerHour.currency': 'EUR' },
      },
    }),
  },
  'POST /settings/rates': {
    may: stewards(303),
    ask: form({ currency: 'USD', worth: '0.91', seenOn: '2025-06-01' }),
  },
  'POST /settings/rates/:currency/drop': {
    may: stewards(303),
    ask: async () => ({ params: ['USD'], form: {} }),
  },

  'GET /estimates': { may: page, ask: nothing },
  'POST /estimates': { may: stewards(303), ask: form() },

  'GET /units': { may: page, ask: nothing },
  'GET /units/suggest': { may: page, ask: nothing },
  'GET /units/new': { may: page, ask: nothing },
  'POST /units/new': {
    may: members(303),
    ask: async () => ({ form: { name: fresh('Peat Storks'), scaleMm: '28', modelsPerUnit: '1' } }),
  },
  'GET /units/:id': { may: page, ask: of(things.unit) },
  'GET /units/:id/edit': { may: ownPage, ask: of(things.unit) },
  'POST /units/:id/edit': { may: own(303), ask: of(things.unit, () => ({ form: { modelsPerUnit: '2' } })) },

  'GET /files': { may: page, ask: nothing },
  'GET /files/suggest': { may: page, ask: nothing },
  'GET /files/new': { may: page, ask: nothing },
  'POST /files/new': {
    may: members(303),
    ask: async () => ({ form: { title: fresh('Stork Masks'), 'sculptor.name': 'Pewter Lane' } }),
  },
  'GET /files/:id': { may: page, ask: of(things.file) },
  'GET /files/:id/edit': { may: ownPage, ask: of(things.file) },
  'POST /files/:id/edit': { may: own(303), ask: of(things.file, () => ({ form: { resinMl: '8' } })) },
  'GET /files/:id/offers/new': { may: page, ask: of(things.file) },
  'POST /files/:id/offers/new': {
    may: members(303),
    ask: of(things.file, () => ({ form: { kind: 'free', state: 'on sale' } })),
  },
  'GET /files/:id/revisions/new': { may: page, ask: of(things.file) },
  'POST /files/:id/revisions/new': { may: members(303), ask: of(things.file, () => ({ form: { label: 'third' } })) },
  'GET /files/:id/snags/new': { may: page, ask: of(things.file) },
  'POST /files/:id/snags/new': {
    may: members(303),
    ask: of(fileOf, ({ revisionId = '' }) => ({ form: { revisionId, kind: 'dead link', severity: 'cosmetic' } })),
  },
  'GET /sculptors': { may: page, ask: nothing },
  'GET /sculptors/suggest': { may: page, ask: nothing },
  'GET /sculptors/:id/edit': { may: [303, 403, 403, 200, 200], ask: of(sculptor) },
  'POST /sculptors/:id/edit': { may: stewards(303), ask: of(sculptor, () => ({ form: { credit: 'named' } })) },
  'GET /revisions/:id/edit': { may: ownPage, ask: of(revisionOf) },
  'POST /revisions/:id/edit': { may: own(303), ask: of(revisionOf, () => ({ form: { label: fresh('mended') } })) },
  'GET /revisions/:id/support-sets/new': { may: page, ask: of(revisionOf) },
  'POST /revisions/:id/support-sets/new': {
    may: members(303),
    ask: of(revisionOf, () => ({ form: { kind: 'extra supports' } })),
  },
  'GET /offers/:id': { may: page, ask: of(things.offer) },
  'GET /offers/:id/edit': { may: ownPage, ask: of(things.offer) },
  'POST /offers/:id/edit': { may: own(303), ask: of(things.offer, () => ({ form: { state: 'withdrawn' } })) },
  'GET /snags/:id/edit': { may: ownPage, ask: of(things.snag) },
  'POST /snags/:id/edit': {
    may: own(303),
    ask: of(things.snag, () => ({ form: { state: 'acknowledged by sculptor', severity: 'cosmetic' } })),
  },

  'GET /requests/new': { may: page, ask: nothing },
  'POST /requests/new': {
    may: members(303),
    ask: async ({ author }) => ({ form: { unitId: (await things.unit(author)).id, wanted: '4' } }),
  },
  'GET /requests/:id': { may: page, ask: of(things.request) },
  'GET /requests/:id/edit': { may: ownPage, ask: of(things.request) },
  'POST /requests/:id/edit': { may: own(303), ask: of(things.request, () => ({ form: { wanted: '7' } })) },
  'POST /requests/:id/settle': {
    may: own(303),
    ask: async ({ author }) => {
      const { requestId, fileId } = await things.proposal(author)
      return { params: [requestId], form: { fileId } }
    },
  },
  'POST /requests/:id/withdraw': { may: own(303), ask: of(things.request, () => ({ form: {} })) },
  'GET /requests/:id/propose': { may: page, ask: of(things.request) },
  'POST /requests/:id/propose': {
    may: members(303),
    ask: of(things.request, async (_, { author }) => ({ form: { fileId: (await aFile(author)).id } })),
  },
  'POST /proposals/:id/take-back': { may: own(303), ask: of(things.proposal, () => ({ form: {} })) },
  'POST /proposals/:id/vote': { may: members(303), ask: of(things.proposal, () => ({ form: { wouldField: 'true' } })) },

  'GET /archive': { may: page, ask: nothing },
  'POST /archive/:fileId/keep': { may: members(303), ask: of(things.file, () => ({ form: {} })) },
  'POST /archive/:fileId/take-out': { may: members(303), ask: of(things.file, () => ({ form: {} })), unknown: 303 },
  'POST /memberships/:offerId/start': { may: members(303), ask: of(things.membership, () => ({ form: {} })) },
  'POST /memberships/:offerId/end': {
    may: members(303),
    ask: of(things.membership, () => ({ form: {} })),
    unknown: 303,
  },

  'GET /printers': { may: page, ask: nothing },
  'GET /printers/new': { may: page, ask: nothing },
  'POST /printers/new': { may: members(303), ask: async () => ({ form: { ...printerForm, name: fresh('Shed') } }) },
  'GET /printers/:id': { may: page, ask: of(things.printer) },
  'GET /printers/:id/edit': { may: ownPage, ask: of(things.printer) },
  'POST /printers/:id/edit': {
    may: own(303),
    ask: of(things.printer, () => ({ form: { ...printerForm, name: fresh('Cellar'), state: 'in use' } })),
  },
  'POST /printers/:id/upkeep': {
    may: own(303),
    ask: of(things.printer, () => ({ form: { kind: 'vat filtered', on: '2025-05-02' } })),
  },
  'GET /upkeep/:id/edit': { may: ownPage, ask: of(things.upkeep) },
  'POST /upkeep/:id/edit': { may: own(303), ask: of(things.upkeep, () => ({ form: { on: '2025-05-03' } })) },
  'POST /upkeep/:id/take-back': { may: own(303), ask: of(things.upkeep) },
  'GET /reports/new': { may: page, ask: nothing },
  'POST /reports/new': {
    may: alone(303),
    ask: async ({ author }) => {
      const { fileId, supportSetId } = await things.printable(author)
      return { form: { ...counts, fileId, supports: supportSetId, printerId: (await aPrinter(author)).id } }
    },
  },
  'GET /reports/:id': { may: page, ask: of(report) },
  'GET /reports/:id/edit': { may: [303, 403, 200, 403, 403], ask: of(report) },
  'POST /reports/:id/edit': {
    may: alone(303),
    ask: of(report, ({ supportSetId = '', printerId = '' }) => ({
      form: { ...counts, supports: supportSetId, printerId },
    })),
  },
  'POST /reports/:id/remove': { may: own(303), ask: of(report, () => ({ form: {} })) },

  'GET /rosters': { may: page, ask: nothing },
  'GET /rosters/new': { may: page, ask: nothing },
  'POST /rosters/new': { may: members(303), ask: form({ name: 'Spring muster', shared: 'true', text: '' }) },
  'GET /rosters/:id': { may: page, ask: of(things.roster) },
  'GET /rosters/:id/edit': { may: alonePage, ask: of(things.roster) },
  'POST /rosters/:id/edit': {
    may: alone(303),
    ask: of(things.roster, () => ({ form: { name: 'Autumn', shared: 'true' } })),
  },
  'POST /rosters/:id/copy': { may: members(303), ask: of(things.roster, () => ({ form: {} })) },
  'POST /rosters/:id/remove': { may: alone(303), ask: of(things.roster, () => ({ form: {} })) },
  'POST /rosters/:id/paste': { may: alone(303), ask: of(things.roster, () => ({ form: { text: '3 x Tide Clerks' } })) },
  'POST /rosters/:id/units': { may: alone(303), ask: of(things.roster, () => ({ form: {} })) },
  'POST /rosters/:id/ask': {
    may: alone(303),
    ask: of(things.roster, ({ entryId = '' }) => ({ form: { entryIds: entryId, scaleMm: '28' } })),
  },
  'GET /rosters/:id/entries/new': { may: alonePage, ask: of(things.roster) },
  'POST /rosters/:id/entries/new': {
    may: alone(303),
    ask: of(things.roster, () => ({ form: { words: 'Tide Clerks', models: '3', retailPer: 'box' } })),
  },
  'GET /rosters/:id/entries/:entryId/edit': { may: alonePage, ask: entryWith({}) },
  'POST /rosters/:id/entries/:entryId/edit': { may: alone(303), ask: entryWith({ form: { models: '4' } }) },
  'POST /rosters/:id/entries/:entryId/remove': { may: alone(303), ask: entryWith({ form: {} }) },
  'POST /rosters/:id/plan': { may: alone(303), ask: of(things.roster, () => ({ form: {} })) },
  'POST /rosters/:id/plan/stop': { may: alone(303), ask: of(things.plan, () => ({ form: {} })) },
  'POST /rosters/:id/purchases': {
    may: alone(303),
    ask: of(things.plan, ({ offerId = '' }) => ({
      form: { offerId, 'paid.amount': '8.00', 'paid.currency': 'EUR', boughtOn: '' },
    })),
  },
  'POST /rosters/:id/purchases/:purchaseId/remove': {
    may: alone(303),
    ask: async ({ author }) => {
      const { id, purchaseId } = await things.spend(author)
      return { params: [id, purchaseId], form: {} }
    },
  },
  'POST /rosters/:id/prints': {
    may: alone(303),
    ask: of(things.spend, ({ entryId = '', reportId = '' }) => ({ form: { entryId, reportId } })),
  },
  'POST /rosters/:id/prints/remove': {
    may: alone(303),
    ask: of(things.spend, ({ entryId = '', reportId = '' }) => ({ form: { entryId, reportId } })),
  },
}

export const calls: Record<string, Call> = { ...apiCalls, ...pageCalls }

export const isChange = (route: string) => !route.startsWith('GET ')

/** Makes the call as a browser or program of that person would. */
export function send(person: Person, route: string, ask: Ask, headers: Record<string, string> = {}) {
  const [method = '', pattern = ''] = route.split(' ')
  const params = [...(ask.params ?? [])]
  const url = pattern.replace(/:\w+|\*/g, () => params.shift() ?? '')
  const encoded = ask.form && new URLSearchParams(pairs(ask.form)).toString()
  const type = ask.form ? 'application/x-www-form-urlencoded' : 'application/json'
  const payload = encoded ?? (ask.body && JSON.stringify(ask.body))
  return person.app.inject({
    method: method as 'GET',
    url,
    headers: {
      'sec-fetch-site': 'same-origin',
      'if-match': '*',
      ...(person.cookie && { cookie: person.cookie }),
      ...(payload !== undefined && { 'content-type': type }),
      ...headers,
    },
    ...(payload !== undefined && { payload }),
  })
}

const pairs = (fields: Record<string, string | string[]>) =>
  Object.entries(fields).flatMap(([name, value]) => [value].flat().map((one) => [name, one]))

/** What no answer may hold: a stack trace, a path of ours, SQL, or a driver's words. */
const inside =
  /\bat .+\.(?:ts|tsx|js):\d+|node_modules|node:internal|\b(?:select|insert into|update|delete from) "|\bsyntax error\b|violates|SQLSTATE|Kysely|PGlite|FST_ERR|ECONNREFUSED|invalid input syntax|byte sequence|duplicate key value/i

/** The words of ours that give the inside away, if the answer has any. */
export const leak = (answer: LightMyRequestResponse): string | undefined => inside.exec(answer.body)?.[0]
