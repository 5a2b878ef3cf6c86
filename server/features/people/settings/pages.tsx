import type { FastifyReply, FastifyRequest } from 'fastify'
import { Settings } from '../../../../web/pages/Settings.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { isSteward } from '../../../http/access.ts'
import { todayIn } from '../../../http/group.ts'
import { currencies, currenciesFrom, currencyChoices } from '../../../http/money.ts'
import { blank, madeFrom, once, page, readForm, seeOther, valuesFrom } from '../../../http/page.tsx'
import { unlessGone } from '../../../http/problem.ts'
import { type App, at, forStewards } from '../../../http/route.ts'
import { disagrees, lastFit, refit } from '../../evidence/queries.ts'
import {
  changeSettings,
  currenciesWithoutRate,
  dropRate,
  hasPrices,
  listRates,
  readSettings,
  setRate,
} from './queries.ts'
import { localeChoices, timeZoneChoices } from './rules.ts'
import { byCurrency, datedRate, type Settings as GroupSettings, sums, wholeSettings } from './schema.ts'

/** `/settings`: members see what is counted with, stewards change it. */
export function settingsPages(app: App): void {
  app.get('/settings', (_request, reply) => settingsPage(reply))

  app.post('/settings', forStewards, async ({ db, body, wanted }, reply) => {
    const form = readForm(wholeSettings, inOneCurrency(body))
    const done = await form.submit((change) => changeSettings(db, change, wanted ?? -1))
    if (done) return seeOther(reply, '/settings', 'saved')
    return settingsPage(reply.code(422), { form })
  })

  app.post('/settings/rates', forStewards, async ({ db, body }, reply) => {
    const form = readForm(datedRate, body)
    const done = await form.submit((rate) => setRate(db, rate, app.now()))
    if (done) return seeOther(reply, '/settings#rates', 'rate-noted')
    return settingsPage(reply.code(422), { rateForm: form })
  })

  app.post('/settings/rates/:currency/drop', { ...forStewards, ...at(byCurrency) }, async ({ db, params }, reply) => {
    await dropRate(db, params.currency).catch(unlessGone)
    return seeOther(reply, '/settings#rates', 'rate-dropped')
  })

  app.post('/settings/estimates', { config: { access: 'steward', harmlessTwice: true } }, async ({ db }, reply) => {
    await refit(db)
    return seeOther(reply, '/settings#estimates', 'estimates-renewed')
  })
}

// The form asks for the currency once: every sum in it is in that one.
function inOneCurrency(body: unknown): Record<string, unknown> {
  const fields = { ...(body as Record<string, unknown> | undefined) }
  if (typeof fields.currency === 'string') for (const sum of sums) fields[`${sum}.currency`] = fields.currency
  return fields
}

async function settingsPage(reply: FastifyReply, refused: { form?: FormState; rateForm?: FormState } = {}) {
  const { db, member } = reply.request
  const settings = await readSettings(db)
  const fit = await lastFit(db)
  const props = {
    settings,
    estimates: {
      ...fit,
      fittedAt: fit.fittedAt?.toISOString() ?? null,
      disagrees: disagrees(fit.rhat),
      renewing: isSteward(member) ? once() : null,
    },
    rates: await listRates(db),
    without: await currenciesWithoutRate(db),
    changing: isSteward(member) ? await changing(reply.request, settings, refused) : null,
  }
  return page(reply, { title: 'Settings', children: <Settings {...props} /> })
}

async function changing(
  request: FastifyRequest,
  settings: GroupSettings,
  refused: { form?: FormState; rateForm?: FormState },
) {
  const today = todayIn(settings.timeZone, request.server.now())
  const others = currencies.filter((code) => code !== settings.currency)
  return {
    form: blank(valuesOf(settings)),
    hidden: madeFrom(settings.version),
    locales: localeChoices(settings.locale, settings.currency),
    timeZones: timeZoneChoices(settings.timeZone),
    currencies: (await hasPrices(request.db)) ? [] : currencyChoices(currenciesFrom(settings.currency)),
    rateForm: blank({ seenOn: today }),
    rateHidden: once(),
    rateCurrencies: currencyChoices(others),
    ...refused,
  }
}

/** The settings as the values of their form. */
const valuesOf = ({ name, currency, locale, timeZone, resinGramsPerMl, resinMlPerModel, ...rest }: GroupSettings) => ({
  ...valuesFrom({ name, currency, locale, timeZone, resinGramsPerMl, resinMlPerModel }),
  ...Object.fromEntries(sums.map((sum) => [`${sum}.amount`, rest[sum].amount])),
})
