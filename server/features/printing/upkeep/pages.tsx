import { seeOther } from '../../../http/page.tsx'
import { type App, withId } from '../../../http/route.ts'
import { readUpkeep, takeUpkeepBack } from './queries.ts'

/** Takes back what was noted by mistake. It is noted, and listed, on the printer's page. */
export function upkeepPages(app: App): void {
  app.post('/upkeep/:id/take-back', withId, async ({ db, member, params, wanted }, reply) => {
    const { printerId } = await readUpkeep(db, params.id)
    await takeUpkeepBack(db, member, params.id, wanted)
    return seeOther(reply, `/printers/${printerId}#upkeep`, 'upkeep-taken-back')
  })
}
