import type { FastifyReply } from 'fastify'
import type { Db } from '../../../../db/connect.ts'
import { EditOffer } from '../../../../web/pages/EditOffer.tsx'
import { figureOf, rowScale } from '../../../../web/pages/Files.tsx'
import { Offer as OfferPage, OfferPrice } from '../../../../web/pages/Offer.tsx'
import type { Drawn } from '../../../../web/parts/choice-field.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { expectMayChange } from '../../../http/access.ts'
import { currenciesFrom } from '../../../http/money.ts'
import { blank, madeFrom, once, page, readForm, seeOther, valuesFrom, withoutUnchanged } from '../../../http/page.tsx'
import { type App, withId } from '../../../http/route.ts'
import type { Viewer } from '../../../http/session.ts'
import { fileHead } from '../files/heads.ts'
import { filesById } from '../files/queries.ts'
import { shownTitle } from '../files/rules.ts'
import { thinned } from '../measures/drawn.ts'
import { addOfferTo, changeOffer, whoChangesOffers } from './changes.ts'
import { filesOpened, type Opened } from './posted.ts'
import { offersOf, readOffer, type ShownOffer } from './queries.ts'
import { changedOffer, newOffer, type Offer } from './schema.ts'

/** `/offers/:id` and the forms that add and change offers. */
export function offerPages(app: App): void {
  app.get('/offers/:id', withId, async ({ db, member, params }, reply) => {
    const offer = await readOffer(db, member, params.id)
    const { linkHidden, ...shown } = offer
    const ids = offer.files.map(({ id }) => id)
    const files = inOrder(ids, await filesById(db, member, ids))
    const pxPerMm = rowScale(files)
    const props = { files: files.map((file) => thinned(file, pxPerMm)), pxPerMm }
    return page(reply, {
      title: nameOf(offer),
      sum: <OfferPrice offer={shown} />,
      children: <OfferPage offer={shown} linkHidden={linkHidden} {...props} />,
    })
  })

  app.get('/files/:id/offers/new', withId, async ({ member, params }, reply) => {
    const { currency } = member.group
    const form = blank({ kind: 'purchase', state: 'on sale', 'price.currency': currency })
    return newOfferPage(reply, params.id, form)
  })

  app.post('/files/:id/offers/new', withId, async ({ db, member, params: { id }, body }, reply) => {
    const opened = await filesOpened(db, member, body)
    const form = readForm(newOffer, opened.body)
    const offer = opened.question ? undefined : await form.submit((data) => addOfferTo(db, member, id, data, app.now()))
    // What else a bundle or membership opens is asked next, unless it was said.
    if (offer && offer.files.length === 1 && (offer.kind === 'bundle' || offer.kind === 'membership'))
      return seeOther(reply, `/offers/${offer.id}/edit`, 'offer-added')
    if (offer) return seeOther(reply, `/files/${id}#offers`, 'offer-added')
    return newOfferPage(reply.code(422), id, asTyped(form, opened), opened)
  })

  app.get('/offers/:id/edit', withId, async ({ db, member, params, today }, reply) => {
    const offer = await readOffer(db, member, params.id)
    expectMayChange(member, offer.createdBy.id, whoChangesOffers)
    const form = blank(valuesOf(offer, today))
    return changedOfferPage(reply, { offer, form })
  })

  app.post('/offers/:id/edit', withId, async ({ db, member, params: { id }, body, wanted }, reply) => {
    const before = await readOffer(db, member, id)
    const opened = await filesOpened(db, member, body)
    const form = readForm(changedOffer, opened.body)
    const shown = { ...before, fileIds: before.files.map((file) => file.id) }
    const offer = opened.question
      ? undefined
      : await form.submit((data) => changeOffer(db, member, id, withoutUnchanged(data, shown), wanted, app.now()))
    if (offer) return seeOther(reply, `/offers/${id}`, 'offer-changed')
    const now = await readOffer(db, member, id)
    return changedOfferPage(reply.code(422), { offer: now, form: asTyped(form, opened), opened })
  })
}

/** In the order of their titles, as the offer has them. */
const inOrder = <Row extends { id: string }>(ids: string[], rows: Row[]) =>
  rows.toSorted((one, other) => ids.indexOf(one.id) - ids.indexOf(other.id))

const nameOf = (offer: Offer) => offer.title || `${kindNames[offer.kind]}: ${offer.files[0]?.title ?? ''}`
const changeTitle = ({ title, files: [first] }: Offer) =>
  title ? `Change the offer: ${title}` : `Change an offer of ${first?.title ?? ''}`
const kindNames = { purchase: 'Purchase', bundle: 'Bundle', membership: 'Membership', free: 'Free' }

/** The refused form as it was typed, with the question that its titles raised. */
function asTyped({ values, errors }: FormState, { left, question }: Opened): FormState {
  return { values: { ...values, titles: left }, errors: question ? { ...errors, titles: question } : errors }
}

/** What can be ticked besides what the offer opens already. */
const offeredBy = (opened: Opened | undefined, known: readonly { id: string }[]): Choice[] => {
  const all = [...(opened?.clear ?? []), ...(opened?.found ?? [])].map(({ id, label, note }) => ({
    id,
    title: label,
    note,
  }))
  const fresh = new Map(all.filter(({ id }) => !known.some((file) => file.id === id)).map((file) => [file.id, file]))
  return [...fresh.values()]
}

interface Choice {
  id: string
  title: string
  note?: string | null | undefined
}

/** Files to be ticked, each with its shadow. */
async function drawnChoices(db: Db, viewer: Viewer, choices: Choice[]): Promise<Drawn[]> {
  const ids = choices.map(({ id }) => id)
  const files = await filesById(db, viewer, ids)
  const pxPerMm = rowScale(files)
  const figures = new Map(files.map((file) => [file.id, figureOf(thinned(file, pxPerMm))]))
  return choices.map(({ id, title, note }) => ({ id, name: title, note, figure: figures.get(id) ?? null }))
}

const offeredIds = (opened: Opened | undefined) => (opened?.found ?? []).map(({ id }) => id).join(' ')

async function newOfferPage(reply: FastifyReply, fileId: string, form: FormState, opened?: Opened) {
  const { db, member } = reply.request
  const file = await fileHead(db, fileId)
  const title = shownTitle(file, member)
  const { currency } = member.group
  const props = {
    form,
    action: `/files/${fileId}/offers/new`,
    hidden: { ...once(), offered: offeredIds(opened) },
    files: await drawnChoices(db, member, offeredBy(opened, [{ id: fileId }])),
    offers: await offersOf(db, member, fileId),
    currencies: currenciesFrom(currency),
    back: { href: `/files/${fileId}#offers`, title },
  }
  return page(reply, { title: `Add an offer of ${title}`, children: <EditOffer {...props} /> })
}

async function changedOfferPage(
  reply: FastifyReply,
  { offer, form, opened }: { offer: ShownOffer; form: FormState; opened?: Opened },
) {
  const { db, member } = reply.request
  const { currency } = member.group
  const props = {
    form,
    action: `/offers/${offer.id}/edit`,
    hidden: { ...madeFrom(offer.version), offered: offeredIds(opened) },
    currencies: currenciesFrom(currency),
    back: { href: `/offers/${offer.id}`, title: nameOf(offer) },
    kind: offer.kind,
    offer,
    files: await drawnChoices(db, member, [...offer.files, ...offeredBy(opened, offer.files)]),
    linkHidden: offer.linkHidden,
  }
  return page(reply, { title: changeTitle(offer), children: <EditOffer {...props} /> })
}

/** An offer as the values of its form; whoever looks at it again saw it today. */
const valuesOf = ({ title, price, minMonths, url, state, files }: Offer, today: string) =>
  valuesFrom({ title, price, minMonths, url, state, seenOn: today, fileIds: files.map((file) => file.id) })
