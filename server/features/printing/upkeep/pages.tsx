import type { FastifyReply } from 'fastify'
import { EditUpkeep } from '../../../../web/pages/EditUpkeep.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { expectMayChange } from '../../../http/access.ts'
import { blank, madeFrom, page, readForm, seeOther } from '../../../http/page.tsx'
import { type App, withId } from '../../../http/route.ts'
import { printerOwner, readPrinter } from '../printers/queries.ts'
import { changedUpkeep, type Upkeep } from '../printers/schema.ts'
import { changeUpkeep, readUpkeep, takeUpkeepBack, whoNotesUpkeep } from './queries.ts'

/** `/upkeep/:id/edit`: corrects what was noted, or takes it back. It is noted on the printer's page. */
export function upkeepPages(app: App): void {
  app.get('/upkeep/:id/edit', withId, async ({ db, member, params }, reply) => {
    const upkeep = await readUpkeep(db, params.id)
    const { ownerId } = await printerOwner(db, upkeep.printerId)
    expectMayChange(member, ownerId, whoNotesUpkeep)
    const { kind, on, remark } = upkeep
    return editPage(reply, upkeep, blank({ kind, on, remark }))
  })

  app.post('/upkeep/:id/edit', withId, async ({ db, member, params: { id }, body, wanted }, reply) => {
    const form = readForm(changedUpkeep, body, { whole: true })
    const how = { wanted, now: app.now() }
    const done = await form.submit((data) => changeUpkeep(db, member, id, data, how))
    if (done) return seeOther(reply, `/printers/${done.printerId}#upkeep`, 'upkeep-changed')
    return editPage(reply.code(422), await readUpkeep(db, id), form)
  })

  app.post('/upkeep/:id/take-back', withId, async ({ db, member, params, wanted }, reply) => {
    const { printerId } = await readUpkeep(db, params.id)
    await takeUpkeepBack(db, member, params.id, wanted)
    return seeOther(reply, `/printers/${printerId}#upkeep`, 'upkeep-taken-back')
  })
}

async function editPage(reply: FastifyReply, upkeep: Upkeep, form: FormState) {
  const { db, member } = reply.request
  const { id, printerId, version } = upkeep
  const printer = await readPrinter(db, member, printerId, reply.request.today)
  const props = { id, printer, form, hidden: madeFrom(version), takeBack: madeFrom(version) }
  return page(reply, {
    title: `Correct what was done to ${printer.name}`,
    children: <EditUpkeep {...props} />,
  })
}
