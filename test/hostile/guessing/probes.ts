import type { LightMyRequestResponse } from 'fastify'
import type { Person } from '../../support/app.ts'
import { planned } from '../../support/rosters.ts'
import { type Secret, snagOn, type Twin } from './twin.ts'

/** One guess: what was asked, and all that came back. */
export interface Told {
  asked: string
  answer: string
}

/** What somebody asks and is told, in order; ids and times are told apart only by where they came up first. */
export class Notes {
  readonly told: Told[] = []
  readonly #ids = new Map<string, string>()

  note(asked: string, { statusCode, headers, body }: Pick<LightMyRequestResponse, 'statusCode' | 'headers' | 'body'>) {
    const { location = '', link = '', etag = '' } = headers
    this.told.push({
      asked: this.#plain(asked),
      answer: this.#plain([statusCode, location, link, etag, body].join('\n')),
    })
  }

  #plain(text: string): string {
    const decoded = text.replace(/(after=|"next":")([\w-]{20,})/g, (_, before: string, cursor: string) => {
      return before + Buffer.from(cursor, 'base64url').toString()
    })
    return decoded
      .replace(/[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}/g, (id) => this.#nameOf(id))
      .replace(/\d{4}-\d\d-\d\dT[\d:.]+Z/g, 'an instant')
  }

  #nameOf(id: string): string {
    const known = this.#ids.get(id) ?? `id ${this.#ids.size + 1}`
    this.#ids.set(id, known)
    return known
  }
}

/** Everything that a word may be looked for in. */
const searches = (group: Twin, q: string) => {
  const words = encodeURIComponent(q)
  return {
    api: [`/files?q=${words}`, `/files?limit=1&q=${words}`, `/units?q=${words}`, `/sculptors?q=${words}`],
    pages: [
      `/search?q=${words}`,
      `/files?q=${words}`,
      `/files/suggest?q=${words}`,
      `/sculptors/suggest?q=${words}`,
      `/archive?q=${words}`,
      `/requests/${group.request.id}/propose?q=${words}`,
      `/reports/new?q=${words}`,
    ],
  }
}

/** The words, with a letter wrong, and what titles are likely to be made of them. */
function wholeWords({ first, last }: Secret): string[] {
  const typed = [`${first} ${last}`, `${first}${last}`.toUpperCase(), `${first.slice(0, -1)}x`, `x${last.slice(1)}`]
  return [first, last, ...typed, `${first} Heralds`, `${last}.example`, `Heralds ${first}`]
}

/** Those, and every beginning of the words. */
function guesses(secret: Secret): string[] {
  const beginnings = [secret.first, secret.last].flatMap((word) => [...word].map((_, end) => word.slice(0, end)))
  return [...beginnings.filter(Boolean), ...wholeWords(secret)]
}

/** Looks for every guess, and through every list in all its pages. */
export const askAround = (person: Person, group: Twin, secrets: Secret[], notes: Notes) =>
  askFor(secrets.flatMap(guesses), person, group, notes)

/** The same for whole words alone. */
export const askForWords = (person: Person, group: Twin, secrets: Secret[], notes: Notes) =>
  askFor(secrets.flatMap(wholeWords), person, group, notes)

async function askFor(words: string[], person: Person, group: Twin, notes: Notes): Promise<void> {
  for (const q of [...words, 'heralds', 'the sculptor', 'mud']) {
    const { api, pages } = searches(group, q)
    for (const path of api) notes.note(path, await person.get(path))
    for (const path of pages) notes.note(path, await person.page(path))
  }
  await lookThrough(person, group, notes)
}

/** Reads everything there is to read of the files, and all lists two at a time. */
export async function lookThrough(person: Person, group: Twin, notes: Notes): Promise<void> {
  const { files, bundle, request, unit, sculptorId } = group
  const answers = [
    `/requests/${request.id}/answers`,
    `/units/${unit.id}/stand-ins`,
    `/requests/${request.id}/proposals`,
  ]
  const each = Object.values(files).flatMap(({ id }) => [`/files/${id}`, `/reports?fileId=${id}`])
  const one = [`/offers/${bundle.id}`, `/sculptors/${sculptorId}`, `/files?sculptorId=${sculptorId}`]
  for (const path of [...answers, ...each, ...one]) notes.note(path, await person.get(path))
  const pages = Object.values(files).flatMap(({ id }) => [`/files/${id}`, `/files/${id}/snags/new`])
  const others = [`/offers/${bundle.id}`, `/units/${unit.id}`, `/requests/${request.id}`, '/', '/files', '/sculptors']
  for (const path of [...pages, ...others]) notes.note(path, await person.page(path))
  for (const list of ['/files?limit=2', '/sculptors?limit=1', '/reports?limit=2', '/units?limit=1']) {
    for (let url = list, count = 0; url && count < 20; count++) {
      const answer = await person.get(url)
      notes.note(url, answer)
      url = /^<\/api\/v1(.*)>; rel="next"$/.exec(String(answer.headers.link ?? ''))?.[1] ?? ''
    }
  }
}

/** Adds and changes things of one's own with every guess in them, and looks at what comes back. */
export async function tryNames(person: Person, group: Twin, secrets: Secret[], notes: Notes): Promise<void> {
  const names = [...secrets.map(({ first, last }) => `${first} ${last}`), 'Somebody Else']
  for (const [place, name] of names.entries()) {
    await tryTitles(person, { name, place, secrets }, notes)
    await tryWords(person, group, name, notes)
    await lookThrough(person, group, notes)
  }
  for (const { first, last } of secrets) {
    const { heralds } = group.files
    for (const label of [`${first} 2`, `${last} 2`, 'the sculptor 2', 'first', `${first} 2`])
      notes.note(`label ${label}`, await person.post(`/files/${heralds.id}/revisions`, { label }))
  }
}

interface Guess {
  name: string
  place: number
  secrets: Secret[]
}

async function tryTitles(person: Person, { name, place, secrets }: Guess, notes: Notes): Promise<void> {
  const titles = secrets.flatMap(({ first, last }) => [`${first} Heralds`, `Songs of ${last}`])
  const revision = { label: 'first', supportKinds: ['as supplied'] }
  for (const typed of [name, name.toUpperCase().normalize('NFKD').replace(/\p{M}/gu, '')]) {
    for (const credit of ['named', 'unnamed', 'named']) {
      const sculptor = { name: typed, credit }
      for (const title of [...titles, 'Mud Pikes', `Guess ${place} ${typed} ${credit}`]) {
        const answer = await person.post('/files', { title, sculptor, revision, licence: `as ${name} says` })
        notes.note(`add ${title} of ${typed}, ${credit}`, answer)
        const { id } = answer.json<{ id?: string }>()
        if (id) await lookAt(person, id, name, notes)
      }
    }
  }
  const own = (await person.post('/files', { title: `Mine ${place}`, sculptor: { name: `Nobody ${place}` } })).json()
  for (const title of [...titles, 'Mud Pikes'])
    notes.note(`call it ${title}`, await person.patch(`/files/${own.id}`, { title, sculptor: { name } }))
  const form = { title: `Form ${place}`, 'sculptor.name': name, 'sculptor.credit': 'named', 'offer.state': 'on sale' }
  notes.note(`form of ${name}`, await person.submit('/files/new', form))
  notes.note(`form of ${name}, again`, await person.submit('/files/new', form))
}

async function lookAt(person: Person, id: string, name: string, notes: Notes): Promise<void> {
  const file = await person.get(`/files/${id}`)
  notes.note(`/files/${id}`, file)
  notes.note(`page of ${id}`, await person.page(`/files/${id}`))
  const { sculptor } = file.json()
  for (const path of [`/sculptors?q=${encodeURIComponent(name)}`, `/files?q=${encodeURIComponent(name)}`])
    notes.note(path, await person.get(path))
  if (!sculptor.id) return
  for (const path of [`/sculptors/${sculptor.id}`, `/files?sculptorId=${sculptor.id}`])
    notes.note(path, await person.get(path))
}

/** Writes a guess wherever a member can write something about a file that is known already. */
async function tryWords(person: Person, { files, request, unit }: Twin, name: string, notes: Notes): Promise<void> {
  const words = `Is it ${name}? See https://${name.split(' ').at(-1)}.example/x`
  const url = `https://${name.split(' ').at(-1)?.toLowerCase()}.example/x`.normalize('NFKD').replace(/\p{M}/gu, '')
  const price = { amount: '7.00', currency: 'EUR' }
  for (const file of [files.heralds, files.moss]) {
    const snag = await person.post(`/files/${file.id}/snags`, { ...snagOn(file), part: name, detail: words })
    notes.note(`snag ${words}`, snag)
    notes.note('snag', await person.get(`/snags/${snag.json().id}`))
    const offer = await person.post(`/files/${file.id}/offers`, { kind: 'purchase', price, url, title: words })
    notes.note(`offer ${words}`, offer)
    notes.note('offer', await person.page(`/offers/${offer.json().id}`))
    const titles = `${name}\nHeralds of ${name}`
    const bundle = { kind: 'bundle', 'price.amount': 'not yet', 'price.currency': 'EUR', titles }
    notes.note(`bundle with ${name}`, await person.submit(`/files/${file.id}/offers/new`, bundle))
    const label = await person.post(`/files/${file.id}/revisions`, { label: `of ${name}` })
    notes.note(`label of ${name}`, label)
    const claim = { kind: 'own supports', claim: words.slice(0, 200) }
    notes.note('claim', await person.post(`/revisions/${label.json().id}/support-sets`, claim))
  }
  const asked = (await person.post('/requests', { unitId: unit.id, wanted: 3, remark: words })).json()
  const proposal = { fileId: files.pikes.id, remark: words }
  notes.note('proposal', await person.post(`/requests/${asked.id}/proposals`, proposal))
  notes.note('answers', await person.get(`/requests/${asked.id}/answers`))
  notes.note('answers', await person.get(`/requests/${request.id}/answers`))
}

/** Plans a roster that prefers what is guessed. */
export async function tryThemes(person: Person, _: Twin, secrets: Secret[], notes: Notes): Promise<void> {
  const { id } = (await person.post('/rosters', { name: 'Guesses', text: '3 x Fen Wardens' })).json()
  for (const theme of secrets.flatMap(({ first, last }) => [`${first} style`, last])) {
    await planned(person, id, { theme, looks: '9.00' })
    const { statusCode, body } = await person.get(`/rosters/${id}/plan`)
    notes.note(`in the theme ${theme}`, { statusCode, headers: {}, body })
  }
  notes.note('roster', await person.page(`/rosters/${id}`))
}
