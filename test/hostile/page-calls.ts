import { password } from '../support/app.ts'
import { aFile, measureBody } from '../support/catalogue.ts'
import { aPrinter, plateForm } from '../support/printing.ts'
import {
  alone,
  alonePage,
  aMember,
  anybody,
  aSessionOf,
  type Call,
  entryWith,
  fileOf,
  form,
  fresh,
  hidden,
  hiddenPage,
  idleSculptor,
  joining,
  likewise,
  likewiseWith,
  members,
  nothing,
  of,
  onAPlate,
  own,
  ownPage,
  page,
  picture,
  plate,
  printerForm,
  report,
  resinForm,
  revisionOf,
  sculptor,
  stewards,
  stewardsPage,
  twoOf,
} from './call.ts'
import { anInvitation, aWayBack, things } from './things.ts'

/** The form of an ordinary plate of one print. */
const formOf = (fileId: string, supports: string, printerId: string) =>
  plateForm({ ...onAPlate, printerId }, { fileId, supports, tried: '6', good: '6' })

/** Every page and every form, and who gets it. */
export const pageCalls: Record<string, Call> = {
  'GET /assets/*': { may: anybody(404), ask: nothing },
  'GET /service-worker.js': { may: anybody(404), ask: nothing },
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
  'POST /members/:id/sign-out': { may: stewards(303), ask: aMember({ form: {} }) },
  'GET /me': { may: page, ask: nothing },
  'POST /me': {
    may: members(303),
    ask: async (cast, person) => ({
      form: { name: fresh('Nadja'), defaultPrinterId: '', defaultResinId: '', defaultCrowding: 'about full' },
      by: await likewise(cast, person),
    }),
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
  'POST /me/sessions/:id/end': {
    may: members(303),
    unknown: 303,
    ask: async (cast, person) => {
      const by = await likewise(cast, person)
      return { params: [await aSessionOf(cast, by)], form: {}, by }
    },
  },
  'POST /me/leave': {
    may: [401, 303, 303, 303, 409],
    ask: likewiseWith({ form: {} }),
  },

  'GET /settings': { may: page, ask: nothing },
  'POST /settings': {
    may: stewards(303),
    ask: async ({ owner }) => ({
      form: {
        version: String((await owner.get('/settings')).json().version),
        name: 'The Thursday table',
        locale: 'en-GB',
        timeZone: 'UTC',
        'looksWorth.amount': '1.00',
        'looksWorth.currency': 'EUR',
        'resinPricePerKg.amount': '35.00',
        'resinPricePerKg.currency': 'EUR',
        resinGramsPerMl: '1.1',
        resinMlPerModel: '10',
        'cleanUp.amount': '0.50',
        'cleanUp.currency': 'EUR',
        'perPlate.amount': '1.00',
        'perPlate.currency': 'EUR',
        'cleanUpPerPlate.amount': '1.00',
        'cleanUpPerPlate.currency': 'EUR',
        'timePerHour.amount': '0.00',
        'timePerHour.currency': 'EUR',
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

  'POST /settings/estimates': { may: stewards(303), ask: form() },

  'GET /units.csv': { may: page, ask: nothing },
  'GET /files.csv': { may: page, ask: nothing },
  'GET /requests.csv': { may: page, ask: nothing },
  'GET /reports.csv': { may: page, ask: nothing },
  'GET /requests': { may: anybody(303), ask: nothing },
  'GET /account': { may: anybody(303), ask: nothing },
  'GET /units': { may: page, ask: nothing },
  'GET /units/suggest': { may: page, ask: nothing },
  'GET /units/new': { may: page, ask: nothing },
  'POST /units/new': {
    may: members(303),
    ask: async () => ({ form: { name: fresh('Peat Storks'), scaleMm: '28', modelsPerUnit: '1' } }),
  },
  'GET /units/:id': { may: page, ask: of(things.unit) },
  'GET /units/:id/edit': { may: ownPage, ask: of(things.unit) },
  'GET /units/:id/merge': { may: stewardsPage, ask: of(things.unit) },
  'POST /units/:id/merge': { may: stewards(303), ask: twoOf(things.unit, (into) => ({ form: { into } })) },
  'POST /units/:id/remove': { may: own(303), ask: of(things.unit, () => ({ form: {} })) },
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
  'GET /revisions/:id/measure': { may: page, ask: of(things.revision) },
  'POST /revisions/:id/measure/found': {
    may: members(200),
    ask: of(things.revision, () => ({ form: { measured: JSON.stringify(measureBody()) } })),
  },
  'POST /revisions/:id/measure': {
    may: own(303),
    ask: of(things.measured, () => ({ form: { measured: JSON.stringify(measureBody()) } })),
  },
  'POST /revisions/:id/measure/remove': { may: own(303), ask: of(things.measured, () => ({ form: {} })) },
  'GET /files/:id/snags/new': { may: page, ask: of(things.file) },
  'POST /files/:id/snags/new': {
    may: members(303),
    ask: of(fileOf, ({ revisionId = '' }) => ({ form: { revisionId, kind: 'dead link', severity: 'only looks' } })),
  },
  'GET /files/:id/merge': { may: stewardsPage, ask: of(things.file) },
  'POST /files/:id/merge': { may: stewards(303), ask: twoOf(things.file, (into) => ({ form: { into } })) },
  'POST /files/:id/remove': { may: own(303), ask: of(things.file, () => ({ form: {} })) },
  'GET /sculptors': { may: page, ask: nothing },
  'GET /sculptors/suggest': { may: page, ask: nothing },
  'GET /sculptors/:id/edit': { may: stewardsPage, ask: of(sculptor) },
  'GET /sculptors/:id/merge': { may: stewardsPage, ask: of(sculptor) },
  'POST /sculptors/:id/merge': { may: stewards(303), ask: twoOf(sculptor, (into) => ({ form: { into } })) },
  'POST /sculptors/:id/remove': {
    may: stewards(303),
    ask: async (cast) => ({ ...(await idleSculptor(cast)), form: {} }),
  },
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
    ask: of(things.snag, () => ({ form: { state: 'the sculptor knows', severity: 'only looks' } })),
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
  'POST /requests/:id/open': { may: own(303), ask: of(things.withdrawn, () => ({ form: {} })) },
  'GET /requests/:id/propose': { may: page, ask: of(things.request) },
  'POST /requests/:id/propose': {
    may: members(303),
    ask: of(things.request, async (_, { author }) => ({ form: { fileId: (await aFile(author)).id } })),
  },
  'GET /requests/:id/propose/new': { may: page, ask: of(things.request) },
  'POST /requests/:id/propose/new': {
    may: members(303),
    ask: of(things.request, () => ({
      form: { 'file.title': fresh('Proposed'), 'file.sculptor.name': 'Proposed Sculptor' },
    })),
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
  'GET /resins': { may: page, ask: nothing },
  'GET /resins/new': { may: page, ask: nothing },
  'POST /resins/new': { may: members(303), ask: async () => ({ form: { ...resinForm, name: fresh('Loam') } }) },
  'GET /resins/:id/edit': { may: hiddenPage, ask: of(things.resin) },
  'POST /resins/:id/edit': {
    may: hidden(303),
    ask: of(things.resin, () => ({ form: { ...resinForm, name: fresh('Silt'), state: 'in use' } })),
  },
  'POST /resins/:id/remove': { may: hidden(303), ask: of(things.resin, () => ({ form: {} })) },
  'POST /upkeep/:id/take-back': { may: own(303), ask: of(things.upkeep) },
  'GET /reports/new': { may: page, ask: nothing },
  'POST /reports/new': {
    may: alone(303),
    ask: async ({ author }) => {
      const { fileId, supportSetId } = await things.printable(author)
      return { form: formOf(fileId, supportSetId, (await aPrinter(author)).id) }
    },
  },
  'POST /reports/new/more': {
    may: members(200),
    ask: async ({ author }) => {
      const { fileId, supportSetId } = await things.printable(author)
      return { form: { ...formOf(fileId, supportSetId, ''), add: fileId } }
    },
  },
  'GET /reports/:id': { may: page, ask: of(report) },
  'POST /plates/wet': {
    may: alone(303),
    ask: async ({ author }) => ({ form: { printerId: (await aPrinter(author)).id } }),
  },
  'GET /plates/:id': { may: page, ask: of(plate) },
  'GET /plates/:id/edit': { may: alonePage, ask: of(plate) },
  'POST /plates/:id/edit': {
    may: alone(303),
    ask: of(plate, ({ fileId = '', supportSetId = '', printerId = '' }) => ({
      form: formOf(fileId, supportSetId, printerId),
    })),
  },
  'POST /plates/:id/edit/more': { may: alone(200), ask: of(plate, () => ({ form: { q: 'herons' } })) },
  'POST /plates/:id/pictures': { may: alone(422), ask: of(plate, () => ({ form: { pictures: '' } })) },
  'GET /pictures/:id': {
    may: page,
    ask: async ({ author }) => ({ params: [(await things.picture(author)).src.replace('/pictures/', '')] }),
  },
  'GET /files/:id/pictures/new': { may: page, ask: of(things.file) },
  'POST /files/:id/pictures': { may: members(422), ask: of(things.file, () => ({ form: { pictures: '' } })) },
  'POST /files/:id/face': { may: [401, 403, 403, 303, 303], ask: of(things.file, () => ({ form: { pictureId: '' } })) },
  'GET /pictures/:id/edit': { may: ownPage, ask: of(picture) },
  'POST /pictures/:id/edit': { may: own(303), ask: of(picture, () => ({ form: { alt: 'A heron' } })) },
  'GET /pictures/:id/base': { may: page, ask: of(picture) },
  'POST /pictures/:id/base': {
    may: own(303),
    ask: of(picture, () => ({ form: { x1: '30', y1: '80', x2: '70', y2: '80', widthMm: '32', depth: '40' } })),
  },
  'POST /pictures/:id/remove': { may: own(303), ask: of(picture, () => ({ form: {} })) },
  'POST /plates/:id/remove': { may: own(303), ask: of(plate, () => ({ form: {} })) },

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
  'POST /rosters/:id/entries/:entryId/state': { may: alone(303), ask: entryWith({ form: { built: '0' } }) },
  'POST /rosters/:id/entries/:entryId/remove': { may: alone(303), ask: entryWith({ form: {} }) },
  'POST /rosters/:id/plan': { may: alone(303), ask: of(things.roster, () => ({ form: {} })) },
  'GET /rosters/:id/plan': { may: anybody(303), ask: of(things.roster), unknown: 303 },
  'GET /rosters/:id/plan/entries': { may: anybody(303), ask: of(things.roster), unknown: 303 },
  'POST /rosters/:id/plan/entries': { may: alone(200), ask: of(things.roster, () => ({ form: {} })) },
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
  'POST /rosters/:id/spend-lines': {
    may: alone(303),
    ask: of(things.roster, () => ({
      form: { words: 'Bases', 'amount.amount': '4.50', 'amount.currency': 'EUR', cameIn: 'false', on: '' },
    })),
  },
  'POST /rosters/:id/spend-lines/:lineId/remove': {
    may: alone(303),
    ask: async ({ author }) => {
      const { id, lineId } = await things.spend(author)
      return { params: [id, lineId], form: {} }
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
