import { member, owner, type Person, startApp } from '../../support/app.ts'
import { made } from '../../support/catalogue.ts'
import { aPrinter, reportBody } from '../../support/printing.ts'

/** What is hidden in one of two groups that are the same in all else. */
export interface Secret {
  first: string
  last: string
}

const any = { headers: { 'if-match': '*' } }
const price = { amount: '9.00', currency: 'EUR' }
const revision = { label: 'first', supportKinds: ['as supplied'] }
const bare = { scaleMm: 28, heightMm: 40, resinMl: 9, revision }

/**
 * A group in which Nils wrote the name of a sculptor wherever a text can stand, before a steward heard that they don't
 * want to be named. Ada is the one who would like to know.
 */
export async function twin({ first, last }: Secret) {
  const { app, close } = await startApp()
  const odile = await owner(app)
  const nils = await member(odile, 'Nils')
  const ada = await member(odile, 'Ada')
  const name = `${first} ${last}`
  const unit = made(await nils.post('/units', { name: 'Fen Wardens', scaleMm: 28, retailPrice: price }))
  const add = (title: string, sculptor: string, over = {}) => aFileOf(nils, { title, sculptor, unitId: unit.id, over })
  const files = {
    heralds: await add(`${first} Heralds`, name, { styleTags: [`${first} style`], options: [`${last} banner`] }),
    pikes: await add('Mud Pikes', name, { remark: `By ${name}, see https://${last}.example/set` }),
    moss: await add('Moss Heralds', 'Holm Brack'),
    ash: await add('Ash Crew', 'Holm Brack'),
    zinc: await add('Zinc Crew', 'Holm Brack'),
  }
  const all = Object.values(files).map(({ id }) => id)
  const url = `https://${last}.example/all`
  const bundle = made(await nils.post('/offers', { kind: 'bundle', price, fileIds: all, url, title: `Of ${last}` }))
  await nils.post(`/files/${files.heralds.id}/revisions`, { label: `${first} 2` })
  await nils.post(`/files/${files.heralds.id}/snags`, { ...snagOn(files.heralds), detail: `${last} knows` })
  const request = made(await nils.post('/requests', { unitId: unit.id, wanted: 6 }))
  const theirs = [files.heralds.id, files.pikes.id]
  for (const id of all) {
    const remark = theirs.includes(id) ? `Not of ${last}?` : ''
    await nils.post(`/requests/${request.id}/proposals`, { fileId: id, remark })
  }
  const printer = await aPrinter(nils, { name: 'Attic' })
  for (const { setId } of [files.heralds, files.pikes]) {
    const failures = [{ seen: 'supports snapped', copies: 5 }]
    const report = { ...reportBody({ tried: 8, failures, supportSetId: setId, printerId: printer.id }), remark: name }
    for (let count = 0; count < 4; count++) made(await nils.post('/reports', report))
  }
  const sculptorId: string = (await nils.get(`/files/${files.pikes.id}`)).json().sculptor.id
  await odile.patch(`/sculptors/${sculptorId}`, { credit: 'unnamed' }, any)
  return { app, close, odile, nils, ada, files, bundle, request, unit, sculptorId }
}

export type Twin = Awaited<ReturnType<typeof twin>>

interface Told {
  title: string
  sculptor: string
  unitId: string
  over: object
}

async function aFileOf(by: Person, { title, sculptor, unitId, over }: Told) {
  const body = { ...bare, title, sculptor: { name: sculptor }, standsInFor: [unitId], ...over }
  const file = made<{ id: string; revisions: { id: string; supportSets: { id: string }[] }[] }>(
    await by.post('/files', body),
  )
  const [first] = file.revisions
  return { id: file.id, revisionId: first?.id ?? '', setId: first?.supportSets[0]?.id ?? '' }
}

export const snagOn = ({ revisionId }: { revisionId: string }) => ({
  revisionId,
  kind: 'fragile detail',
  severity: 'only looks',
})
