import type { App } from '../../../http/app-type.ts'
import { answers, lists, noContent } from '../../../http/openapi.ts'
import { changeSettings, dropRate, listRates, readSettings, setRate } from './queries.ts'
import { byCurrency, changedSettings, newRate, rateSchema, settingsSchema } from './schema.ts'

const steward = { access: 'steward' as const }

export function settingsApi(app: App): void {
  app.get('/settings', { schema: { response: answers(settingsSchema) } }, ({ db }) => readSettings(db))

  app.patch(
    '/settings',
    { config: steward, schema: { body: changedSettings, response: answers(settingsSchema) } },
    ({ db, body, wanted }) => changeSettings(db, body, wanted),
  )
}

/** What other currencies are worth to the group. */
export function ratesApi(app: App): void {
  app.get('/settings/rates', { schema: { response: lists(rateSchema) } }, async ({ db }) => ({
    items: await listRates(db),
    next: null,
  }))

  app.put(
    '/settings/rates/:currency',
    { config: steward, schema: { params: byCurrency, body: newRate, response: answers(rateSchema) } },
    async ({ db, params, body, today }) => {
      const seenOn = body.seenOn ?? today
      return setRate(db, { ...params, worth: body.worth, seenOn }, app.now())
    },
  )

  app.delete(
    '/settings/rates/:currency',
    { config: steward, schema: { params: byCurrency, response: noContent } },
    ({ db, params }) => dropRate(db, params.currency),
  )
}
