import { type Person, password } from '../support/app.ts'
import type { Cast } from './cast.ts'
import { sculptorOf, things } from './things.ts'

/** What a route answers to an outsider, another member, the one whose thing it is, a steward, the group's owner. */
export type Statuses = readonly [number, number, number, number, number]

/** One call of a route: what its address is about, what is sent along, and who sends it if not the one asked for. */
export interface Ask {
  params?: string[]
  body?: Record<string, unknown>
  form?: Record<string, string | string[]>
  by?: Person
}

export interface Call {
  may: Statuses
  /** A call that would be fine; what it is about is the author's. */
  ask: (cast: Cast, person: Person) => Promise<Ask>
  /** What the address of a thing that does not exist answers, if not 404. */
  unknown?: number
}

export const anybody = (status: number): Statuses => [status, status, status, status, status]
export const members = (status = 200): Statuses => [401, status, status, status, status]
export const page: Statuses = [303, 200, 200, 200, 200]
/** The author's alone, as a page. */
export const alonePage: Statuses = [303, 403, 200, 403, 403]
export const ownPage: Statuses = [303, 403, 200, 200, 200]
/** The author's, and what stewards look after. */
export const own = (status: number): Statuses => [401, 403, status, status, status]
/** The author's alone. */
export const alone = (status: number): Statuses => [401, 403, status, 403, 403]
/** The author's alone; nobody else learns that it is there. */
export const hidden = (status: number): Statuses => [401, 404, status, 404, 404]
export const hiddenPage: Statuses = [303, 404, 200, 404, 404]
export const stewards = (status: number): Statuses => [401, 403, 403, status, status]

export const stewardsPage: Statuses = [303, 403, 403, 200, 200]

export const nothing = async (): Promise<Ask> => ({})
export const body = (sent: Record<string, unknown>) => async (): Promise<Ask> => ({ body: sent })
export const form =
  (sent: Ask['form'] = {}) =>
  async (): Promise<Ask> => ({ form: sent ?? {} })

export type Made = { id: string } & Record<string, string>
export type Sent = Omit<Ask, 'params'>
/** A call about a thing that the author has just made. */
export const of =
  (make: (by: Person) => Promise<Made>, sent: (made: Made, cast: Cast) => Sent | Promise<Sent> = () => ({})) =>
  async (cast: Cast): Promise<Ask> => {
    const made = await make(cast.author)
    return { ...(await sent(made, cast)), params: [made.id] }
  }

/** Two of a kind that the author made: the call is about the first, and names the second. */
export const twoOf =
  (make: (by: Person) => Promise<Made>, sent: (into: string) => Sent) =>
  async ({ author }: Cast): Promise<Ask> => ({
    ...sent((await make(author)).id),
    params: [(await make(author)).id],
  })

export const euros = (amount: string) => ({ amount, currency: 'EUR' })
let count = 0
export const fresh = (name: string) => `${name} ${++count}`

export const resinBody = { name: 'Peat', price: euros('24.00'), bottleG: 500, gramsPerMl: 1.12 }
/** The same as its form sends it. */
export const resinForm = {
  'price.amount': '24.00',
  'price.currency': 'EUR',
  bottleG: '500',
  bottleMl: '',
  gramsPerMl: '1.12',
}

export const printerBody = {
  plateMm: [120, 70],
  buildHeightMm: 150,
  layerUm: 50,
  exposureS: 2,
  bottomLayers: 5,
  bottomExposureS: 30,
  cycleOverheadS: 6,
}
const { plateMm: _sides, ...oneField } = printerBody
export const printerForm = Object.fromEntries(
  Object.entries({ ...oneField, plateWidthMm: 120, plateDepthMm: 70 }).map(([name, value]) => [name, String(value)]),
)
export const onAPlate = { printedOn: '2025-06-01', crowding: 'about full' }
export const joining = () => ({
  name: fresh('Nell'),
  email: `${fresh('nell').replace(' ', '.')}@group.example`,
  password,
})
export const report = async (by: Person) => (await things.report(by)) as Made
export const picture = async (by: Person) => (await things.picture(by)) as Made
export const plate = async (by: Person) => (await things.plate(by)) as Made
export const fileOf = async (by: Person): Promise<Made> => {
  const { fileId: id, ...rest } = await things.printable(by)
  return { ...rest, id }
}
export const revisionOf = async (by: Person): Promise<Made> => ({ ...(await things.revision(by)) })
/** The file that an offer, snag or proposal of the author's is about. */
export const sculptor = async (by: Person): Promise<Made> => ({ id: await sculptorOf(by, (await things.file(by)).id) })
/** A sculptor of whom no file is left: the only one went over to another. */
export const idleSculptor = async ({ author, owner }: Cast): Promise<Ask> => {
  const { id } = await things.file(author)
  const idle = await sculptorOf(author, id)
  const renamed = { sculptor: { name: fresh('Tallow Row') } }
  await owner.patch(`/files/${id}`, renamed, { headers: { 'if-match': '*' } })
  return { params: [idle] }
}
/** Somebody of the same role whom nobody else needs; there is one owner alone. */
export const likewise = async (cast: Cast, person: Person) => {
  const role = person === cast.steward ? 'steward' : 'member'
  return person === cast.owner || person === cast.outsider ? person : cast.newcomer(role)
}
export const likewiseWith = (sent: Sent) => async (cast: Cast, person: Person) => ({
  ...sent,
  by: await likewise(cast, person),
})

/** A session of somebody's on a browser that nobody needs; an outsider has none, and is refused before it is looked for. */
export const aSessionOf = async (cast: Cast, person: Person): Promise<string> => {
  const again = await cast.again(person)
  if (!again.cookie) return '01890000-0000-7000-8000-000000000000'
  const { items } = (await again.get('/sessions')).json()
  return items.find(({ isCurrent }: { isCurrent: boolean }) => isCurrent).id
}

/** An entry of a roster of the author's. */
export const entryWith =
  (sent: Sent) =>
  async ({ author }: Cast): Promise<Ask> => {
    const { id, entryId } = await things.roster(author)
    return { ...sent, params: [id, entryId] }
  }

export const aTiedReport = async ({ author }: Cast): Promise<Ask> => {
  const { id, entryId, reportId } = await things.spend(author)
  return { params: [id, entryId, reportId] }
}

/** A newcomer whom somebody, or they themself, changes. */
export const aMember =
  (sent: Sent) =>
  async (cast: Cast, person: Person): Promise<Ask> => {
    const who = await cast.newcomer()
    return { ...sent, params: [who.id], ...(person === cast.author && { by: who }) }
  }
