import type { App } from '../../../http/app-type.ts'
import { todayOf } from '../../../http/group.ts'
import { noContent, problems } from '../../../http/openapi.ts'
import { pageOf } from '../../../http/paging.ts'
import { sendVersion, versionToChange } from '../../../http/version.ts'
import { changeSettings, dropRate, listRates, readSettings, setRate } from './queries.ts'
import { byCurrency, changedSettings, newRate, rateSchema, settingsSchema } from './schema.ts'

const steward = { access: 'steward' as const }

export function settingsApi(app: App): void {
  app.get('/settings', { schema: { response: { 200: settingsSchema, ...problems } } }, async (request, reply) => {
    const settings = await readSettings(request.db)
    sendVersion(reply, settings.version)
    return settings
  })

  app.patch(
    '/settings',
    {
      config: steward,
      schema: {
        description: 'The currency only while nothing is priced, and together with every sum.',
        body: changedSettings,
        response: { 200: settingsSchema, ...problems },
      },
    },
    async (request, reply) => {
      const settings = await changeSettings(request.db, request.body, versionToChange(request, false))
      sendVersion(reply, settings.version)
      return settings
    },
  )
}

/** What other currencies are worth to the group. */
export function ratesApi(app: App): void {
  app.get('/settings/rates', { schema: { response: { 200: pageOf(rateSchema), ...problems } } }, async (request) => ({
    items: await listRates(request.db),
    next: null,
  }))

  app.put(
    '/settings/rates/:currency',
    {
      config: steward,
      schema: {
        description: 'As seen on a day, today if it is left out; the newest day counts.',
        params: byCurrency,
        body: newRate,
        response: { 200: rateSchema, ...problems },
      },
    },
    async (request) => {
      const seenOn = request.body.seenOn ?? todayOf(request)
      return setRate(request.db, { ...request.params, worth: request.body.worth, seenOn }, app.now())
    },
  )

  app.delete(
    '/settings/rates/:currency',
    {
      config: steward,
      schema: {
        description: 'Its prices are not compared any more.',
        params: byCurrency,
        response: noContent,
      },
    },
    async (request, reply) => {
      await dropRate(request.db, request.params.currency)
      reply.code(204)
      return null
    },
  )
}
