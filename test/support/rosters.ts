import type { AppParts } from '../../server/app.ts'
import { member, owner, type Person, startApp } from './app.ts'
import { aFile, anOffer, aUnit, made } from './catalogue.ts'

export const euros = (amount: string) => ({ amount, currency: 'EUR' })

/** A service with its owner and two members. */
export async function startGroup(parts: Partial<AppParts> = {}) {
  const started = await startApp(parts)
  const odile = await owner(started.app)
  return { ...started, odile, ada: await member(odile, 'Ada'), ben: await member(odile, 'Ben') }
}

export type Group = Awaited<ReturnType<typeof startGroup>>

/** A unit with a box price and a file for 9.00 that stands in for it, with supports as supplied. */
export async function aStandIn(
  person: Person,
  { unit = {}, file = {}, offer = {} }: { unit?: Over; file?: Over; offer?: Over } = {},
) {
  const wanted = await aUnit(person, { retailPrice: euros('40.00'), ...unit })
  const revision = { label: 'first', supportKinds: ['as supplied'] }
  const standIn = await aFile(person, { standsInFor: [wanted.id], ...small, revision, ...file })
  return { unit: wanted, file: standIn, offer: await anOffer(person, standIn.id, offer) }
}

type Over = Record<string, unknown>

const small = { base: { shape: 'round', widthMm: 25 }, heightMm: 45 }

/** Two units, each with a file for 9.00, and a bundle of both for 12.00: alone each buys its own, together not. */
export async function twoUnits(by: Person) {
  const both = [
    await aStandIn(by, { file: { revision: undefined } }),
    await aStandIn(by, { unit: { retailPrice: euros('50.00') }, file: { revision: undefined } }),
  ]
  const [units, files, singles] = [
    both.map(({ unit }) => unit),
    both.map(({ file }) => file),
    both.map(({ offer }) => offer.id),
  ]
  const url = 'https://stall.example/both'
  const offer = { kind: 'bundle', price: euros('12.00'), fileIds: files.map(({ id }) => id), url }
  const { id: bundle } = made(await by.post('/offers', offer))
  const roster = await aRoster(by, { text: units.map(({ name }) => `5 x ${name}`).join('\n') })
  return { roster, units, files, singles, bundle, entryIds: roster.entries.map(({ id }) => id) }
}

export interface MadeEntry {
  id: string
  words: string
  unit: { id: string; name: string } | null
  nearest: { id: string; name: string }[]
  models: number
}

export interface MadeRoster {
  id: string
  name: string
  version: number
  entries: MadeEntry[]
}

/** A roster of the person's; `text` becomes its entries. */
export async function aRoster(person: Person, over: Record<string, unknown> = {}): Promise<MadeRoster> {
  return made(await person.post('/rosters', { name: 'Autumn muster', ...over }))
}

export interface MadePlan {
  printer: { id: string; name: string } | null
  state: string
  outOfDate: boolean
  ended: string | null
  proven: boolean
  gap: number | null
  offers: { offerId: string | null; kind: string; title: string; url: string | null; opens: string[] }[]
  entries: { entryId: string; fileId: string; offerId: string | null; copies: number; printing: { amount: string } }[]
  uncovered: { entryId: string; reason: string; words: string }[]
  naive: { kind: string; uncovered: number; decides: { amount: string } }[]
  asPlanned: { decides: { amount: string } }
  done: string[]
  tooLarge: { entryId: string; fileId: string; title: string }[]
  totals: Record<'offers' | 'printing' | 'money' | 'spent' | 'all' | 'looks' | 'retail', { amount: string }> &
    Record<'saving' | 'savingAtLeast', { amount: string } | null>
}

/** Whether a plan leaves less out than the greedy one, which is there from the first; an answer may bring either. */
export const isBetter = ({ uncovered, naive }: MadePlan): boolean =>
  naive.some((plan) => plan.kind === 'offer by offer' && uncovered.length < plan.uncovered)

/** Has a roster planned, and waits for the end. @throws Error when it was refused, with the refusal */
export async function planned(
  person: Person,
  rosterId: string,
  asked: Record<string, unknown> = {},
): Promise<MadePlan> {
  const answer = await person.post(`/rosters/${rosterId}/plan`, asked)
  if (answer.statusCode >= 400) throw new Error(`answered ${answer.statusCode}: ${answer.body}`)
  return planEnded(person, rosterId)
}

/** The plan of a roster once it is no longer being solved. */
export async function planEnded(person: Person, rosterId: string): Promise<MadePlan> {
  for (;;) {
    const plan = (await person.get(`/rosters/${rosterId}/plan`)).json<MadePlan>()
    if (plan.state !== 'running') return plan
    await new Promise((resolve) => setTimeout(resolve, 50))
  }
}
