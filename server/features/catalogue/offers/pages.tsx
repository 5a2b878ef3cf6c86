import type { FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import type { Db } from '../../../../db/connect.ts'
import { EditOffer } from '../../../../web/pages/EditOffer.tsx'
import { Offer as OfferPage } from '../../../../web/pages/Offer.tsx'
import type { Errors, Values } from '../../../../web/parts/form.tsx'
import { expectMayChange } from '../../../http/access.ts'
import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { blank, madeFrom, once, readForm, versionOf } from '../../../http/form.ts'
import { todayOf } from '../../../http/group.ts'
import { currenciesFrom } from '../../../http/money.ts'
import { page, seeOther } from '../../../http/page.tsx'
import type { Viewer } from '../../../http/session.ts'
import { type Meant, whatIsMeant } from '../files/meant.ts'
import { listFiles, readFile } from '../files/queries.ts'
import { fileSuggestion } from '../files/show.ts'
import { withoutUnchanged } from '../files/unchanged.ts'
import { addOfferTo, changeOffer, whoChangesOffers } from './changes.ts'
import { readOffer, type ShownOffer } from './queries.ts'
import { changedOffer, newOffer, type Offer } from './schema.ts'
import { shownOffer } from './show.ts'

/** `/offers/:id` and the forms that add and change offers. */
export function offerPages(app: App): void {
  app.get('/offers/:id', { schema: { params: byId } }, async (request, reply) => {
    const { db, member } = request
    const offer = await readOffer(db, member, request.params.id)
    const { linkHidden, ...shown } = shownOffer(offer, member)
    return page(request, reply, { title: nameOf(offer), children: <OfferPage offer={shown} linkHidden={linkHidden} /> })
  })

  app.get('/files/:id/offers/new', { schema: { params: byId } }, async (request, reply) => {
    const { currency } = request.member.group
    const form = blank({ kind: 'purchase', state: 'on sale', 'price.currency': currency })
    return newOfferPage(request, reply, request.params.id, form)
  })

  app.post('/files/:id/offers/new', { schema: { params: byId } }, async (request, reply) => {
    const { id } = request.params
    const form = readForm(newOffer, request.body)
    const offer = await form.submit((data) => addOfferTo(request.db, request.member, id, data, app.now()))
    // What else a bundle or membership opens is asked next.
    if (offer && (offer.kind === 'bundle' || offer.kind === 'membership'))
      return seeOther(reply, `/offers/${offer.id}/edit`, 'offer-added')
    if (offer) return seeOther(reply, `/files/${id}#offers`, 'offer-added')
    reply.code(422)
    return newOfferPage(request, reply, id, form)
  })

  app.get('/offers/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const offer = await readOffer(request.db, request.member, request.params.id)
    expectMayChange(request.member, offer.createdBy.id, whoChangesOffers)
    const form = blank(valuesOf(offer, todayOf(request)))
    return changedOfferPage(request, reply, { offer, form, found: [] })
  })

  app.post('/offers/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const { db, member } = request
    const { id } = request.params
    const before = await readOffer(db, member, id)
    const meant = await fileMeant(db, member, fileFields.parse(request.body ?? {}))
    const form = readForm(changedOffer, withFile(request.body, meant.id))
    const shown = { ...before, fileIds: before.files.map((file) => file.id) }
    const wanted = versionOf(request.body)
    const offer = meant.question
      ? undefined
      : await form.submit((data) => changeOffer(db, member, id, withoutUnchanged(data, shown), wanted, app.now()))
    if (offer) return seeOther(reply, `/offers/${id}`, 'offer-changed')
    reply.code(422)
    const { file, fileId } = fileFields.parse(request.body ?? {})
    const errors = meant.question ? { ...form.errors, file: meant.question } : form.errors
    const typed = { values: { ...form.values, file, fileId }, errors }
    return changedOfferPage(request, reply, { offer: await readOffer(db, member, id), form: typed, found: meant.found })
  })
}

const nameOf = (offer: Offer) => offer.title || `${kindNames[offer.kind]}: ${offer.files[0]?.title ?? ''}`
const kindNames = { purchase: 'Purchase', bundle: 'Bundle', membership: 'Membership', free: 'Free' }

const fileFields = z.object({
  file: z.string().trim().default('').catch(''),
  fileId: z.string().default('').catch(''),
  fileMadeFor: z.string().default('').catch(''),
})

function withFile(posted: unknown, added: string | undefined): Record<string, unknown> {
  const { file, fileId, fileMadeFor, ...body } = (posted ?? {}) as Record<string, unknown>
  if (added === undefined) return body
  return { ...body, fileIds: [body.fileIds ?? '', added].flat() }
}

const fileMeant = (db: Db, viewer: Viewer, { file, fileId, fileMadeFor }: z.infer<typeof fileFields>) =>
  whatIsMeant(
    { typed: file, id: fileId, madeFor: fileMadeFor },
    async (words) => (await listFiles(db, viewer, { limit: 8, q: words.slice(0, 200) })).items.map(fileSuggestion),
    'The group knows no such file. Add it first.',
  )

type Typed = { values: Values; errors: Errors }

async function newOfferPage(request: FastifyRequest, reply: FastifyReply, fileId: string, form: Typed) {
  const file = await readFile(request.db, request.member, fileId)
  const { currency } = request.member.group
  const props = {
    form,
    action: `/files/${fileId}/offers/new`,
    hidden: once(),
    currencies: currenciesFrom(currency),
    back: { href: `/files/${fileId}#offers`, title: file.title },
  }
  return page(request, reply, { title: `Add an offer of ${file.title}`, children: <EditOffer {...props} /> })
}

async function changedOfferPage(
  request: FastifyRequest,
  reply: FastifyReply,
  { offer, form, found }: { offer: ShownOffer; form: Typed; found: Meant['found'] },
) {
  const { currency } = request.member.group
  const props = {
    form,
    found,
    action: `/offers/${offer.id}/edit`,
    hidden: { ...madeFrom(offer.version), fileMadeFor: String(form.values.file ?? '') },
    currencies: currenciesFrom(currency),
    back: { href: `/offers/${offer.id}`, title: nameOf(offer) },
    kind: offer.kind,
    files: offer.files,
    linkHidden: offer.linkHidden,
  }
  return page(request, reply, { title: `Change the offer: ${nameOf(offer)}`, children: <EditOffer {...props} /> })
}

/** An offer as the values of its form; whoever looks at it again saw it today. */
const valuesOf = (offer: Offer, today: string): Values => ({
  title: offer.title,
  'price.amount': offer.price.amount,
  'price.currency': offer.price.currency,
  minMonths: offer.minMonths === null ? '' : String(offer.minMonths),
  url: offer.url ?? '',
  state: offer.state,
  seenOn: today,
  fileIds: offer.files.map((file) => file.id),
})
