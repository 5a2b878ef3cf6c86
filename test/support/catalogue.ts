import type { LightMyRequestResponse } from 'fastify'
import type { Person } from './app.ts'

/*
 * Makers of the catalogue's things, each as somebody would: by a call of the REST API. What is not said is invented.
 */

type Over = Record<string, unknown>

/** What the call made. @throws Error when it was refused, with the refusal */
export function made<T = { id: string }>(answer: LightMyRequestResponse): T {
  if (answer.statusCode !== 201) throw new Error(`answered ${answer.statusCode}: ${answer.body}`)
  return answer.json()
}

let count = 0
/** Names of one kind that never meet twice in a test run. */
const fresh = (name: string) => `${name} ${++count}`

export async function aUnit(person: Person, over: Over = {}): Promise<{ id: string; name: string }> {
  return made(await person.post('/units', { name: fresh('Fen Wardens'), scaleMm: 28, ...over }))
}

interface MadeFile {
  id: string
  title: string
  sculptor: { id: string; name: string }
  revisions: { id: string; supportSets: { id: string; kind: string }[] }[]
  offers: { id: string }[]
}

/** A file by a sculptor of its own, without revision or offer unless `over` has them. */
export async function aFile(person: Person, over: Over = {}): Promise<MadeFile> {
  const sculptor = { name: fresh('Marrow Mill') }
  return made(await person.post('/files', { title: fresh('Bog Lanterns'), sculptor, resinMl: 9.5, ...over }))
}

export async function aRevision(person: Person, fileId: string, over: Over = {}): Promise<{ id: string }> {
  return made(await person.post(`/files/${fileId}/revisions`, { label: fresh('release'), ...over }))
}

export async function aSupportSet(person: Person, revisionId: string, over: Over = {}): Promise<{ id: string }> {
  return made(await person.post(`/revisions/${revisionId}/support-sets`, { kind: 'as supplied', ...over }))
}

/** An offer of one file: a purchase for 9.00 EUR unless said otherwise. */
export async function anOffer(person: Person, fileId: string, over: Over = {}): Promise<{ id: string }> {
  const price = { amount: '9.00', currency: 'EUR' }
  return made(await person.post(`/files/${fileId}/offers`, { kind: 'purchase', price, ...over }))
}

/** A snag on a revision of the file: by default one that only matters for looks. */
export async function aSnag(person: Person, fileId: string, revisionId: string, over: Over = {}) {
  const snag = { revisionId, kind: 'fragile detail', severity: 'only looks', ...over }
  return made(await person.post(`/files/${fileId}/snags`, snag))
}

type Rings = [x: number, y: number][][]

const triangle = (across: number, up: number): Rings => [
  [
    [0, 0],
    [across, 0],
    [across / 2, up],
  ],
]

const size = { widthMm: 24, depthMm: 18, heightMm: 36 }

/** A figure of 24 x 18 x 36 mm, as a browser measured it, unless `over` says otherwise; its outlines are of its size. */
export function measureBody(over: Over & Partial<typeof size> = {}) {
  const { widthMm, depthMm, heightMm } = { ...size, ...over }
  return {
    sha256s: ['0'.repeat(64)],
    ...{ volumeMl: 4.1, surfaceMm2: 3120, overlapping: false, shells: 3 },
    ...{ openEdges: 0, nonManifoldEdges: 0, invertedShells: 0, widestLayerMm2: 240, widestLayerAtMm: 2.5 },
    front: triangle(widthMm, heightMm),
    side: triangle(depthMm, heightMm),
    above: triangle(widthMm, depthMm),
    ...{ midAir: null, layerUm: null },
    ...{ widthMm, depthMm, heightMm },
    ...over,
  }
}

/** What was measured of a revision or a support set. @param path e.g. `/revisions/…` */
export async function aMeasure(person: Person, path: string, over: Over & Partial<typeof size> = {}): Promise<void> {
  const answer = await person.put(`${path}/measure`, measureBody(over))
  if (answer.statusCode !== 200) throw new Error(`answered ${answer.statusCode}: ${answer.body}`)
}
