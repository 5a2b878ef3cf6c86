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
