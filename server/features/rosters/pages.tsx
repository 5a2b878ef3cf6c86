import type { FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { EditRoster, EditRosterEntry } from '../../../web/pages/EditRoster.tsx'
import { Rosters } from '../../../web/pages/Rosters.tsx'
import type { App } from '../../http/app-type.ts'
import { id as anId, byId } from '../../http/fields.ts'
import { blank, madeFrom, once, readForm, versionOf } from '../../http/form.ts'
import { currenciesFrom } from '../../http/money.ts'
import { page, seeOther } from '../../http/page.tsx'
import { notFound, unlessGone } from '../../http/problem.ts'
import { pasteLimit } from './api.ts'
import { askForEntries } from './asking.ts'
import { addEntries, changeEntry, removeEntry, tellUnits } from './changes.ts'
import { addRoster, changeRoster, copyRoster, listRosters, ownRoster, readRoster, removeRoster } from './queries.ts'
import {
  asked,
  byEntry,
  changedEntry,
  changedRoster,
  type Entry,
  markedEntry,
  newEntries,
  newRoster,
  pastedList,
  rosterList,
} from './schema.ts'
import { rosterPage } from './show.tsx'

const lists = rosterList.extend({ othersAfter: z.string().max(500).optional(), said: z.string().optional() })

/** `/rosters` and what is changed on a roster's own page; planning and spending have theirs. */
export function rosterPages(app: App): void {
  app.get('/rosters', { schema: { querystring: lists } }, async (request, reply) => {
    const { db, member, query } = request
    const { limit, after, othersAfter } = query
    const mine = await listRosters(db, member, { limit, after, memberId: member.id })
    const others = await listRosters(db, member, { limit, after: othersAfter, exceptMemberId: member.id })
    const next = {
      mine: mine.next && `/rosters?after=${encodeURIComponent(mine.next)}`,
      others: others.next && `/rosters?othersAfter=${encodeURIComponent(others.next)}#others`,
    }
    return page(request, reply, {
      title: 'Rosters',
      children: <Rosters mine={mine.items} others={others.items} next={next} />,
    })
  })

  app.get('/rosters/new', (request, reply) =>
    page(request, reply, {
      title: 'A new roster',
      children: <EditRoster isNew form={blank({ shared: 'false' })} action="/rosters/new" hidden={once()} />,
    }),
  )

  app.post('/rosters/new', { bodyLimit: pasteLimit }, async (request, reply) => {
    const form = readForm(newRoster, request.body)
    const roster = await form.submit((data) => addRoster(request.db, request.member, data))
    if (roster) return seeOther(reply, `/rosters/${roster.id}`, addedWords(roster))
    reply.code(422)
    return page(request, reply, {
      title: 'A new roster',
      children: <EditRoster isNew form={form} action="/rosters/new" hidden={once()} />,
    })
  })

  app.get('/rosters/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const { id, name, shared, version } = await ownRoster(request.db, request.member, request.params.id)
    const hidden = madeFrom(version)
    const form = blank({ name, shared: String(shared) })
    return page(request, reply, {
      title: `Change ${name}`,
      children: <EditRoster isNew={false} form={form} action={`/rosters/${id}/edit`} hidden={hidden} />,
    })
  })

  app.post('/rosters/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const { db, member, params } = request
    const form = readForm(changedRoster, request.body, { whole: true })
    const wanted = versionOf(request.body)
    const roster = await form.submit((data) => changeRoster(db, member, params.id, data, wanted))
    if (roster) return seeOther(reply, `/rosters/${roster.id}`, 'saved')
    const now = await ownRoster(db, member, params.id)
    const props = { form, action: `/rosters/${now.id}/edit`, hidden: madeFrom(now.version) }
    return page(request, reply.code(422), {
      title: `Change ${now.name}`,
      children: <EditRoster isNew={false} {...props} />,
    })
  })

  app.post('/rosters/:id/copy', { schema: { params: byId } }, async (request, reply) => {
    const roster = await copyRoster(request.db, request.member, request.params.id)
    return seeOther(reply, `/rosters/${roster.id}`, 'roster-copied')
  })

  app.post('/rosters/:id/remove', { schema: { params: byId } }, async (request, reply) => {
    await removeRoster(request.db, request.member, request.params.id, versionOf(request.body))
    return seeOther(reply, '/rosters', 'roster-removed')
  })

  app.post('/rosters/:id/paste', { bodyLimit: pasteLimit, schema: { params: byId } }, async (request, reply) => {
    const { db, member, params } = request
    await ownRoster(db, member, params.id)
    const paste = readForm(pastedList, request.body)
    const added = await paste.submit((list) => addEntries(db, member, params.id, newEntries.parse(list)))
    if (added) return seeOther(reply, `/rosters/${params.id}#list`, 'entries-added')
    return rosterPage(request, reply.code(422), params.id, { paste })
  })

  app.post('/rosters/:id/units', { schema: { params: byId } }, async (request, reply) => {
    const { db, member, params } = request
    await tellUnits(db, member, params.id, meantUnits(request.body))
    return seeOther(reply, `/rosters/${params.id}#list`, 'units-told')
  })

  app.post('/rosters/:id/ask', { schema: { params: byId } }, async (request, reply) => {
    const { db, member, params } = request
    await ownRoster(db, member, params.id)
    const asking = readForm(asked, request.body)
    const requests = await asking.submit((data) => askForEntries(db, member, params.id, data))
    if (requests) return seeOther(reply, `/rosters/${params.id}#list`, 'group-asked')
    return rosterPage(request, reply.code(422), params.id, { asking })
  })

  entryPages(app)
  armyPages(app)
}

/** `units.<entry>` of the form, where one was chosen. Whatever is no id was not chosen on a page of ours. */
function meantUnits(posted: unknown): Map<string, string> {
  const fields = Object.entries((posted ?? {}) as Record<string, unknown>)
  const chosen = fields.flatMap(([name, value]): [string, string][] => {
    const [, entryId] = /^units\.(.+)$/.exec(name) ?? []
    return anId.safeParse(entryId).success && anId.safeParse(value).success ? [[String(entryId), String(value)]] : []
  })
  return new Map(chosen)
}

/** One entry by hand. */
function entryPages(app: App): void {
  app.get('/rosters/:id/entries/new', { schema: { params: byId } }, async (request, reply) => {
    const { id } = await ownRoster(request.db, request.member, request.params.id)
    const form = blank({ retailPer: 'box' })
    return entryPage(request, reply, { form, isNew: true, action: `/rosters/${id}/entries/new`, hidden: once() })
  })

  app.post('/rosters/:id/entries/new', { schema: { params: byId } }, async (request, reply) => {
    const { db, member, params } = request
    await ownRoster(db, member, params.id)
    const form = readForm(newEntries, request.body)
    const added = await form.submit((data) => addEntries(db, member, params.id, data))
    if (added) return seeOther(reply, `/rosters/${params.id}#list`, 'entries-added')
    const action = `/rosters/${params.id}/entries/new`
    return entryPage(request, reply.code(422), { form, isNew: true, action, hidden: once() })
  })

  app.get('/rosters/:id/entries/:entryId/edit', { schema: { params: byEntry } }, async (request, reply) => {
    const { entry, version } = await ownEntry(request, request.params)
    const { currency } = request.member.group
    const action = `/rosters/${request.params.id}/entries/${entry.id}/edit`
    const form = blank(valuesOf(entry, currency))
    return entryPage(request, reply, { form, action, hidden: madeFrom(version), entry })
  })

  app.post('/rosters/:id/entries/:entryId/edit', { schema: { params: byEntry } }, async (request, reply) => {
    const { db, member, params } = request
    const { entry, version } = await ownEntry(request, params)
    const form = readForm(changedEntry, withoutOldUnit(request.body, entry), { whole: true })
    const changed = await form.submit((data) => changeEntry(db, member, params, data, versionOf(request.body)))
    if (changed) return seeOther(reply, `/rosters/${params.id}#list`, 'saved')
    const action = `/rosters/${params.id}/entries/${entry.id}/edit`
    return entryPage(request, reply.code(422), { form, action, hidden: madeFrom(version), entry })
  })

  app.post('/rosters/:id/entries/:entryId/remove', { schema: { params: byEntry } }, async (request, reply) => {
    const { db, member, params } = request
    await ownRoster(db, member, params.id)
    await removeEntry(db, member, params).catch(unlessGone)
    return seeOther(reply, `/rosters/${params.id}#list`, 'entry-removed')
  })
}

/** Counts built and painted models by one press each; the buttons send the whole number, so a second press does no harm. */
function armyPages(app: App): void {
  app.post('/rosters/:id/entries/:entryId/state', { schema: { params: byEntry } }, async (request, reply) => {
    const { db, member, params, body } = request
    await ownRoster(db, member, params.id)
    const marking = readForm(markedEntry, body)
    const marked = await marking.submit((data) => changeEntry(db, member, params, data))
    if (marked) return seeOther(reply, `/rosters/${params.id}#army`, 'army-counted')
    return rosterPage(request, reply.code(422), params.id, { marking })
  })
}

/** Where other words were typed and no unit was chosen, the one before is no longer meant. */
function withoutOldUnit(posted: unknown, { words, unit }: Entry): Record<string, unknown> {
  const fields = { ...(posted as Record<string, unknown> | undefined) }
  const isOther = typeof fields.words === 'string' && fields.words.trim() !== words
  return isOther && fields.unitId === unit?.id ? { ...fields, unitId: '' } : fields
}

/** @throws Problem 403, 404 */
async function ownEntry({ db, member }: FastifyRequest, { id, entryId }: { id: string; entryId: string }) {
  const { version } = await ownRoster(db, member, id)
  const entry = (await readRoster(db, member, id)).entries.find((one) => one.id === entryId)
  if (!entry) throw notFound('entry')
  return { entry, version }
}

interface EntryPage {
  form: ReturnType<typeof blank>
  action: string
  hidden: Record<string, string>
  isNew?: boolean
  entry?: Entry
}

async function entryPage(request: FastifyRequest, reply: FastifyReply, { entry, ...props }: EntryPage) {
  const { currency } = request.member.group
  const found = (entry?.nearest ?? []).map(({ id, name, setting, scaleMm }) => ({
    id,
    label: name,
    note: [setting, `${scaleMm} mm`].filter(Boolean).join(', '),
  }))
  const title = entry ? `Change ${entry.words}` : 'Add an entry'
  const remove = entry && props.action.replace(/edit$/, 'remove')
  const children = (
    <EditRosterEntry {...props} found={found} currencies={currenciesFrom(currency)} {...(remove && { remove })} />
  )
  return page(request, reply, { title, children })
}

const valuesOf = (entry: Entry, currency: string) => ({
  words: entry.words,
  unitId: entry.unit?.id ?? '',
  models: String(entry.models),
  'retailPrice.amount': entry.retailPrice?.amount ?? '',
  'retailPrice.currency': entry.retailPrice?.currency ?? currency,
  retailPer: entry.retailPer,
})

/** What to do next with a new roster, in the key of a sentence. */
function addedWords({
  entries,
}: Awaited<ReturnType<typeof addRoster>>): 'roster-added' | 'roster-added-empty' | 'roster-added-unknown' {
  if (entries.length === 0) return 'roster-added-empty'
  return entries.some(({ unit }) => unit) ? 'roster-added' : 'roster-added-unknown'
}
