import { type App, answers, forStewards, lists, noContent } from '../../../http/route.ts'
import { changeSettings, dropRate, listRates, readSettings, setRate } from './queries.ts'
import { byCurrency, changedSettings, newRate, rateSchema, settingsSchema } from './schema.ts'

export function settingsApi(app: App): void {
  app.get('/settings', answers(settingsSchema), ({ db }) => readSettings(db))

  app.patch(
    '/settings',
    { ...forStewards, ...answers(settingsSchema, { body: changedSettings }) },
    ({ db, body, wanted }) => changeSettings(db, body, wanted),
  )
}

/** What other currencies are worth to the group. */
export function ratesApi(app: App): void {
  app.get('/settings/rates', lists(rateSchema), async ({ db }) => ({
    items: await listRates(db),
    next: null,
  }))

  app.put(
    '/settings/rates/:currency',
    { ...forStewards, ...answers(rateSchema, { params: byCurrency, body: newRate }) },
    async ({ db, params, body, today }) => {
      const seenOn = body.seenOn ?? today
      return setRate(db, { ...params, worth: body.worth, seenOn }, app.now())
    },
  )

  app.delete('/settings/rates/:currency', { ...forStewards, ...noContent({ params: byCurrency }) }, ({ db, params }) =>
    dropRate(db, params.currency),
  )
}
