import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { EditRoster } from '../../../web/pages/EditRoster.tsx'
import { PasteOne, Rosters } from '../../../web/pages/Rosters.tsx'
import type { FormState } from '../../../web/parts/form.tsx'
import { id as anId } from '../../http/fields.ts'
import { blank, madeFrom, once, page, readForm, seeOther } from '../../http/page.tsx'
import { type App, at, withId } from '../../http/route.ts'
import { pasteLimit } from './api.ts'
import { addEntries, askForEntries, changeEntry, tellUnits } from './changes.ts'
import { entryPages } from './entry-pages.tsx'
import { listed, ownListed } from './listed.ts'
import { looksUp } from './looked-up.ts'
import { addRoster, changeRoster, copyRoster, listRosters, ownRoster, removeRoster } from './queries.ts'
import {
  asked,
  assembledEntry,
  byEntry,
  changedRoster,
  newEntries,
  newRoster,
  pastedList,
  rosterList,
} from './schema.ts'
import { rosterPage } from './show.tsx'

const { after } = rosterList.shape
const lists = z.object({ after, othersAfter: after, said: z.string().optional() })
/** Each is drawn: more of them nobody looks through. */
const shownAtOnce = 12

/** `/rosters` and what is changed on a roster's own page; planning and spending have theirs. */
export function rosterPages(app: App): void {
  app.decorateRequest('lookedUp', undefined)
  listPages(app)
  editPages(app)
  entriesPages(app)
  entryPages(app)
  armyPages(app)
}

/** All rosters, and a new one. */
function listPages(app: App): void {
  app.get('/rosters', { schema: { querystring: lists } }, async ({ db, member, query }, reply) => {
    const mine = await listRosters(db, member, { limit: shownAtOnce, after: query.after, memberId: member.id })
    const whose = { limit: shownAtOnce, after: query.othersAfter, exceptMemberId: member.id }
    const others = await listRosters(db, member, whose)
    const rosters = await listed(db, member, [...mine.items, ...others.items])
    const next = {
      mine: mine.next && `/rosters?after=${encodeURIComponent(mine.next)}`,
      others: others.next && `/rosters?othersAfter=${encodeURIComponent(others.next)}#others`,
    }
    return page(reply, {
      title: 'Rosters',
      sum: <PasteOne />,
      children: (
        <Rosters
          mine={rosters.slice(0, mine.items.length)}
          others={rosters.slice(mine.items.length)}
          next={next}
          isFirstPage={query.after === undefined}
        />
      ),
    })
  })

  app.get('/rosters/new', (_request, reply) => newPage(reply, blank({ shared: 'false' })))

  app.post('/rosters/new', { bodyLimit: pasteLimit, ...looksUp }, async ({ db, member, body, lookedUp }, reply) => {
    const form = readForm(newRoster, body)
    const roster = await form.submit((data) => addRoster(db, member, data, lookedUp))
    if (roster) return seeOther(reply, `/rosters/${roster.id}`, addedWords(roster))
    return newPage(reply.code(422), form)
  })
}

type RosterHead = Awaited<ReturnType<typeof ownRoster>>

function newPage(reply: FastifyReply, form: FormState) {
  const children = <EditRoster roster={null} form={form} action="/rosters/new" hidden={once()} />
  return page(reply, { title: 'A new roster', children })
}

async function editPage(reply: FastifyReply, own: RosterHead, form: FormState) {
  const { db, member } = reply.request
  const { id, name, version } = own
  const roster = await ownListed(db, member, id)
  const props = { roster, form, action: `/rosters/${id}/edit`, hidden: madeFrom(version) }
  return page(reply, { title: `Change ${name}`, children: <EditRoster {...props} /> })
}

/** A roster's name, a copy, and its end. */
function editPages(app: App): void {
  app.get('/rosters/:id/edit', withId, async ({ db, member, params }, reply) => {
    const roster = await ownRoster(db, member, params.id)
    return editPage(reply, roster, blank({ name: roster.name, shared: String(roster.shared) }))
  })

  app.post('/rosters/:id/edit', withId, async ({ db, member, params, body, wanted }, reply) => {
    const form = readForm(changedRoster, body, { whole: true })
    const roster = await form.submit((data) => changeRoster(db, member, params.id, data, wanted))
    if (roster) return seeOther(reply, `/rosters/${roster.id}`, 'saved')
    return editPage(reply.code(422), await ownRoster(db, member, params.id), form)
  })

  app.post('/rosters/:id/copy', withId, async ({ db, member, params }, reply) => {
    const id = await copyRoster(db, member, params.id)
    return seeOther(reply, `/rosters/${id}`, 'roster-copied')
  })

  app.post('/rosters/:id/remove', withId, async ({ db, member, params, wanted }, reply) => {
    await removeRoster(db, member, params.id, wanted)
    return seeOther(reply, '/rosters', 'roster-removed')
  })
}

/** Many entries at once. */
function entriesPages(app: App): void {
  app.post('/rosters/:id/paste', { bodyLimit: pasteLimit, ...looksUp, ...withId }, async (request, reply) => {
    const { db, member, params, body, lookedUp: known } = request
    await ownRoster(db, member, params.id)
    const paste = readForm(pastedList, body)
    const added = await paste.submit((list) => addEntries(db, member, params.id, { ...newEntries.parse(list), known }))
    if (added) return seeOther(reply, `/rosters/${params.id}#list`, 'entries-added')
    return rosterPage(reply.code(422), params.id, { paste })
  })

  app.post('/rosters/:id/units', withId, async ({ db, member, params, body }, reply) => {
    await tellUnits(db, member, params.id, meantUnits(body))
    return seeOther(reply, `/rosters/${params.id}#list`, 'units-told')
  })

  app.post('/rosters/:id/ask', withId, async ({ db, member, params, body }, reply) => {
    await ownRoster(db, member, params.id)
    const asking = readForm(asked, body)
    const requests = await asking.submit((data) => askForEntries(db, member, params.id, data))
    if (requests) return seeOther(reply, `/rosters/${params.id}#list`, 'group-asked')
    return rosterPage(reply.code(422), params.id, { asking })
  })
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

/** Counts built and painted models by one press each; the buttons send the whole number, so a second press does no harm. */
function armyPages(app: App): void {
  app.post('/rosters/:id/entries/:entryId/state', at(byEntry), async ({ db, member, params, body }, reply) => {
    await ownRoster(db, member, params.id)
    const assembling = readForm(assembledEntry, body)
    const assembled = await assembling.submit((data) => changeEntry(db, member, params, data))
    if (assembled) return seeOther(reply, `/rosters/${params.id}#army`, 'army-counted')
    return rosterPage(reply.code(422), params.id, { assembling })
  })
}

/** What to do next with a new roster, in the key of a sentence. */
function addedWords({
  entries,
}: Awaited<ReturnType<typeof addRoster>>): 'roster-added' | 'roster-added-empty' | 'roster-added-unknown' {
  if (entries.length === 0) return 'roster-added-empty'
  return entries.some(({ unit }) => unit) ? 'roster-added' : 'roster-added-unknown'
}
