import type { Person } from './app.ts'
import { made } from './catalogue.ts'

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
  state: string
  outOfDate: boolean
  ended: string | null
  proven: boolean
  gap: number | null
  offers: { offerId: string | null; kind: string; title: string; url: string | null; opens: string[] }[]
  entries: { entryId: string; fileId: string; offerId: string | null; copies: number; printing: { amount: string } }[]
  uncovered: { entryId: string; reason: string; words: string }[]
  totals: Record<'offers' | 'printing' | 'money' | 'retail', { amount: string }> & { saving: { amount: string } | null }
}

/** Has a roster planned, and waits for the end. @throws Error when it was refused, with the refusal */
export async function planned(
  person: Person,
  rosterId: string,
  asked: Record<string, unknown> = {},
): Promise<MadePlan> {
  const answer = await person.post(`/rosters/${rosterId}/plan`, asked)
  if (answer.statusCode >= 400) throw new Error(`answered ${answer.statusCode}: ${answer.body}`)
  let plan = answer.json<MadePlan>()
  while (plan.state === 'running') {
    await new Promise((resolve) => setTimeout(resolve, 200))
    plan = (await person.get(`/rosters/${rosterId}/plan`)).json()
  }
  return plan
}
