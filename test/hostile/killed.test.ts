import { setTimeout as sleep } from 'node:timers/promises'
import fc from 'fast-check'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { memberWeight } from '../../server/scoring/plates.ts'
import { freshPlace } from '../support/database.ts'
import { until } from '../support/until.ts'
import { type Answer, Client } from './client.ts'
import { buildProgram, type Program, type Running, startService } from './service.ts'

const { place, remove } = await freshPlace()
let program: Program
let service: Running
let odile: Client
beforeAll(async () => {
  program = await buildProgram()
  service = await startService(program, place)
  odile = new Client(() => service.address)
  await odile.setUp()
})
afterAll(async () => {
  await service.end('SIGKILL')
  program.remove()
  await remove()
})

/** On each of the two databases; CI has more patience. */
const kills = process.env.CI ? 10 : 4
const [pauses = []] = fc.sample(fc.array(fc.integer({ min: 5, max: 150 }), { minLength: kills, maxLength: kills }), {
  seed: 20_251,
  numRuns: 1,
})

/** Something that was sent off; without an answer when the service was killed before it gave one. */
interface Sent {
  what: 'report' | 'proposal'
  key: string
  path: string
  body: Record<string, unknown>
  answer: Answer | undefined
}

let stage: { supportSetId: string; goodSetId: string; goodFileId: string; printerId: string; requestId: string }

async function setTheStage(): Promise<typeof stage> {
  const file = async (title: string) => {
    const revision = { label: 'first', supportKinds: ['as supplied'] }
    const made = await odile.post('/files', { title, sculptor: { name: `The maker of ${title}` }, revision })
    const { id, revisions } = made.json() as { id: string; revisions?: { supportSets: { id: string }[] }[] }
    return { id, setId: revisions?.[0]?.supportSets[0]?.id ?? '' }
  }
  const [failing, good] = [await file('Otter Pikes'), await file('Otter Shields')]
  const printer = { name: 'Attic', plateMm: [143, 89], buildHeightMm: 175, layerUm: 50, exposureS: 2.4 }
  const rest = { bottomLayers: 5, bottomExposureS: 30, cycleOverheadS: 7.5 }
  const unitId = await odile.make('/units', { name: 'Otters', scaleMm: 28 })
  return {
    supportSetId: failing.setId,
    goodSetId: good.setId,
    goodFileId: good.id,
    printerId: await odile.make('/printers', { ...printer, ...rest }),
    requestId: await odile.make('/requests', { unitId, wanted: 10 }),
  }
}

let sentSoFar = 0

function aReport(): Omit<Sent, 'answer'> {
  const key = `report-${++sentSoFar}`
  const failures = [
    { seen: 'supports snapped', copies: 1 },
    { seen: 'stuck to the film', copies: 2 },
  ]
  const { supportSetId, goodSetId, printerId } = stage
  const outcome =
    sentSoFar % 2 ? { supportSetId, good: 5, failures } : { supportSetId: goodSetId, good: 8, failures: [] }
  const body = { printerId, printedOn: '2025-06-01', crowding: 'about full', tried: 8, remark: key, ...outcome }
  return { what: 'report', key, path: '/reports', body }
}

function aProposal(): Omit<Sent, 'answer'> {
  const key = `proposal-${++sentSoFar}`
  const file = {
    title: key,
    sculptor: { name: 'Cobbler of Otters' },
    options: ['banner'],
    revision: { label: 'first', supportKinds: ['as supplied', 'own supports'] },
    offer: { kind: 'purchase', price: { amount: '9.00', currency: 'EUR' } },
  }
  return { what: 'proposal', key, path: `/requests/${stage.requestId}/proposals`, body: { file, remark: key } }
}

const send = ({ path, body, key }: Omit<Sent, 'answer'>) => odile.post(path, body, { 'idempotency-key': key })

/** Four write as fast as they can, until the service is killed under them, a moment after the first answer. */
async function writeUntilKilled(pause: number): Promise<Sent[]> {
  const sent: Sent[] = []
  let isKilled = false
  const first = Promise.withResolvers<void>()
  const writer = async (make: () => Omit<Sent, 'answer'>) => {
    while (!isKilled) {
      const next: Sent = { ...make(), answer: undefined }
      sent.push(next)
      next.answer = await send(next).catch(() => undefined)
      first.resolve()
      if (next.answer === undefined) return
    }
  }
  const writers = [aReport, aProposal, aReport, aProposal].map(writer)
  await first.promise
  await sleep(pause)
  const gone = service.end('SIGKILL')
  isKilled = true
  await Promise.all([gone, ...writers])
  return sent
}

type Report = { id: string; remark: string; tried: number; good: number; failures: { copies: number }[] }
type Proposal = { id: string; remark: string; file: { id: string; title: string } }

async function allReports(): Promise<Report[]> {
  const found: Report[] = []
  let after = ''
  do {
    const page = (await odile.get(`/reports?limit=100${after}`)).json() as { items?: Report[]; next?: string | null }
    found.push(...(page.items ?? []))
    after = page.next ? `&after=${page.next}` : ''
  } while (after)
  return found
}

async function allProposals(): Promise<Proposal[]> {
  const { items } = (await odile.get(`/requests/${stage.requestId}/proposals`)).json() as { items?: Proposal[] }
  return items ?? []
}

/** Everything that is there is there as a whole. */
async function expectWhole(reports: Report[], proposals: Proposal[], since: Sent[]): Promise<void> {
  for (const { remark, tried, good, failures } of reports)
    expect([remark, good + failures.reduce((sum, { copies }) => sum + copies, 0)]).toEqual([remark, tried])
  const recent = new Set(since.map(({ key }) => key))
  for (const { file } of proposals.filter(({ remark }) => recent.has(remark))) {
    const whole = (await odile.get(`/files/${file.id}`)).json() as Record<string, unknown>
    expect(whole).toMatchObject({
      units: [{ name: 'Otters' }],
      revisions: [{ label: 'first', supportSets: [{}, {}] }],
      offers: [{ price: { amount: '9.00' }, prices: [{}] }],
    })
  }
  // A file that was added along with a proposal is there only with it.
  const { items = [] } = (await odile.get('/files?limit=100')).json() as { items?: { title: string }[] }
  const proposed = new Set(proposals.map(({ file }) => file.title))
  const orphans = items.filter(({ title }) => title.startsWith('proposal-') && !proposed.has(title))
  expect(orphans).toEqual([])
}

/** What a fit counts is what the reports say, each once: of one member's copies on one line and printer ten in full. */
async function expectCounted(reports: Report[]): Promise<void> {
  const copies = reports.filter(({ failures }) => failures.length === 0).reduce((sum, { good }) => sum + good, 0)
  await until(async () => {
    // One of its own may be running, which is as good.
    expect([200, 409]).toContain((await odile.post('/scoring/fit')).status)
    return ((await odile.get('/scoring/fit')).json() as { notCounted?: number }).notCounted === 0
  })
  expect((await odile.get('/scoring/fit')).json()).toMatchObject({ plates: reports.length })
  const { printSuccess = [] } = (await odile.get(`/files/${stage.goodFileId}`)).json() as {
    printSuccess?: { copies: number }[]
  }
  expect(printSuccess[0]?.copies ?? 0).toBeCloseTo(copies * memberWeight(copies), 6)
}

const idsOf = (things: { id: string; remark: string }[], key: string) =>
  things.filter(({ remark }) => remark === key).map(({ id }) => id)

test(`killed ${kills} times while writing, it keeps what it acknowledged and nothing by halves`, async () => {
  stage = await setTheStage()
  let acknowledged = 0
  let open = 0
  for (const [turn, pause] of pauses.entries()) {
    const sent = await writeUntilKilled(pause)
    service = await startService(program, place)
    const [reports, proposals] = [await allReports(), await allProposals()]
    await expectWhole(reports, proposals, sent)
    if (turn % 5 === 4) await expectCounted(reports)
    const found = { report: reports, proposal: proposals }
    for (const one of sent) {
      if (one.answer) expect([one.key, one.answer.status]).toEqual([one.key, 201])
      if (one.answer) expect([one.key, ...idsOf(found[one.what], one.key)]).toEqual([one.key, one.answer.json().id])
      else expect(idsOf(found[one.what], one.key).length).toBeLessThanOrEqual(1)
      acknowledged += one.answer ? 1 : 0
      open += one.answer ? 0 : 1
    }
    await expectRetried(sent.filter(({ answer }) => answer === undefined))
  }
  // Otherwise it was killed while nothing went on.
  expect(acknowledged).toBeGreaterThan(kills)
  expect(open).toBeGreaterThan(kills)
})

/** Sent again with the same key, what had no answer is there exactly once, whether it had been done or not. */
async function expectRetried(unanswered: Sent[]): Promise<void> {
  const again = await Promise.all(unanswered.map(send))
  const found = { report: await allReports(), proposal: await allProposals() }
  unanswered.forEach((one, index) => {
    const ids = idsOf(found[one.what], one.key)
    expect([one.key, again[index]?.status, ...ids]).toEqual([one.key, 201, again[index]?.json().id])
  })
}
