import type { FastifyReply, FastifyRequest } from 'fastify'
import { EditRosterEntry } from '../../../web/pages/EditRoster.tsx'
import { currenciesFrom } from '../../http/money.ts'
import { blank, madeFrom, once, page, readForm, seeOther, valuesFrom } from '../../http/page.tsx'
import { notFound, unlessGone } from '../../http/problem.ts'
import { type App, at, withId } from '../../http/route.ts'
import { addEntries, changeEntry, removeEntry } from './changes.ts'
import { ownListed } from './listed.ts'
import { ownRoster, readRoster } from './queries.ts'
import { byEntry, changedEntry, type Entry, newEntries } from './schema.ts'

/** One entry by hand. */
export function entryPages(app: App): void {
  app.get('/rosters/:id/entries/new', withId, async ({ db, member, params }, reply) => {
    const { id } = await ownRoster(db, member, params.id)
    return entryPage(reply, { form: blank({ retailPer: 'box' }), rosterId: id, hidden: once() })
  })

  app.post('/rosters/:id/entries/new', withId, async ({ db, member, params, body }, reply) => {
    await ownRoster(db, member, params.id)
    const form = readForm(newEntries, body)
    const added = await form.submit((data) => addEntries(db, member, params.id, data))
    if (added) return seeOther(reply, `/rosters/${params.id}#list`, 'entries-added')
    return entryPage(reply.code(422), { form, rosterId: params.id, hidden: once() })
  })

  app.get('/rosters/:id/entries/:entryId/edit', at(byEntry), async (request, reply) => {
    const { entry, version } = await ownEntry(request, request.params)
    const { currency } = request.member.group
    const form = blank(valuesOf(entry, currency))
    return entryPage(reply, { form, rosterId: request.params.id, hidden: madeFrom(version), entry })
  })

  app.post('/rosters/:id/entries/:entryId/edit', at(byEntry), async (request, reply) => {
    const { db, member, params } = request
    const { entry, version } = await ownEntry(request, params)
    const form = readForm(changedEntry, withoutOldUnit(request.body, entry), { whole: true })
    const changed = await form.submit((data) => changeEntry(db, member, params, data, request.wanted))
    if (changed) return seeOther(reply, `/rosters/${params.id}#list`, 'saved')
    return entryPage(reply.code(422), { form, rosterId: params.id, hidden: madeFrom(version), entry })
  })

  app.post('/rosters/:id/entries/:entryId/remove', at(byEntry), async ({ db, member, params }, reply) => {
    await ownRoster(db, member, params.id)
    await removeEntry(db, member, params).catch(unlessGone)
    return seeOther(reply, `/rosters/${params.id}#list`, 'entry-removed')
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
  rosterId: string
  hidden: Record<string, string>
  /** That is changed; else a new one. */
  entry?: Entry
}

async function entryPage(reply: FastifyReply, { entry, rosterId, ...props }: EntryPage) {
  const { db, member } = reply.request
  const entries = `/rosters/${rosterId}/entries`
  const found = (entry?.nearest ?? []).map(({ id, name, setting, scaleMm }) => ({
    id,
    label: name,
    note: [setting, `${scaleMm} mm`].filter(Boolean).join(', '),
  }))
  const children = (
    <EditRosterEntry
      {...props}
      action={entry ? `${entries}/${entry.id}/edit` : `${entries}/new`}
      back={`/rosters/${rosterId}#list`}
      beside={entry ? { entry } : { roster: await ownListed(db, member, rosterId) }}
      found={found}
      currencies={currenciesFrom(member.group.currency)}
      {...(entry && { remove: `${entries}/${entry.id}/remove` })}
    />
  )
  return page(reply, { title: entry ? `Change ${entry.words}` : 'Add an entry', children })
}

const valuesOf = ({ words, unit, models, retailPrice, retailPer }: Entry, currency: string) =>
  valuesFrom({ words, unitId: unit?.id, models, retailPrice: retailPrice ?? { currency }, retailPer })
