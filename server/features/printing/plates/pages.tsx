import { inTransaction } from '../../../../db/connect.ts'
import { blank, readForm, seeOther } from '../../../http/page.tsx'
import { forbidden } from '../../../http/problem.ts'
import { type App, byId, withId } from '../../../http/route.ts'
import type { Viewer } from '../../../http/session.ts'
import { versionOf } from '../../../http/version.ts'
import { attach, pictured } from '../pictures/changes.ts'
import { platePage, pressed, toldPrints } from '../reports/form-page.tsx'
import { outcomePage } from '../reports/outcome-page.tsx'
import { plateForm, valuesOf } from '../reports/schema.ts'
import { changePlate, removePlate, whoChangesPlates } from './changes.ts'
import { readPlate } from './queries.ts'
import type { Plate } from './schema.ts'

export function platePages(app: App): void {
  app.get('/plates/:id', withId, async ({ db, member, params }, reply) => {
    return outcomePage(reply, await readPlate(db, member, params.id))
  })

  app.get('/plates/:id/edit', withId, async ({ db, member, params }, reply) => {
    const plate = await readPlate(db, member, params.id)
    expectMine(plate, member)
    return platePage(reply, blank(valuesOf(plate)), plate)
  })

  app.post(
    '/plates/:id/edit',
    { config: { takesPictures: true }, ...withId },
    async ({ db, member, params, body, wanted }, reply) => {
      const before = await readPlate(db, member, params.id)
      expectMine(before, member)
      const form = readForm(plateForm, body)
      const how = { wanted, now: app.now() }
      const plate = await form.submit(({ prints, pictures, alt, pictured: place, ...rest }) =>
        inTransaction(db, async (trx) => {
          const told = await toldPrints(trx, member, prints)
          const kept = await changePlate(trx, member, params.id, { ...rest, prints: told }, how)
          if (pictures.length > 0) await attach(trx, member, { pictures, alt, ...pictured(kept, place) })
          return kept
        }),
      )
      if (plate) return seeOther(reply, `/plates/${plate.id}`, before.told ? 'report-changed' : 'reported')
      return platePage(reply.code(422), form, before)
    },
  )

  const more = { schema: { params: byId }, config: { harmlessTwice: true, takesPictures: true } }
  app.post('/plates/:id/edit/more', more, async (request, reply) => {
    const plate = await readPlate(request.db, request.member, request.params.id)
    expectMine(plate, request.member)
    const form = readForm(plateForm, request.body)
    // Whoever looks something up keeps the state that they began with.
    const seen = { ...plate, version: versionOf(request.body) ?? plate.version }
    return platePage(reply, await pressed(request, form, !plate.told), seen)
  })

  app.post('/plates/:id/remove', withId, async ({ db, member, params, wanted }, reply) => {
    const plate = await readPlate(db, member, params.id)
    await removePlate(db, member, plate.id, wanted)
    return seeOther(reply, `/printers/${plate.printer.id}`, 'report-removed')
  })
}

/** @throws Problem 403 */
function expectMine(plate: Plate, viewer: Viewer): void {
  if (plate.member.id !== viewer.id) throw forbidden(whoChangesPlates)
}
