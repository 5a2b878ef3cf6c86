import { type DBSchema, openDB } from 'idb'

/** A form that was pressed and is not known to have arrived: everything that has to be sent again, as it was typed. */
export interface Waiting {
  /** Its key, by which the service carries it out once, however often it is sent. */
  id: string
  /** Whose it is: nobody else sends it or sees it. */
  memberId: string
  /** Where the form goes to. */
  action: string
  multipart: boolean
  /** Names and values in their order; pictures as files. */
  fields: [name: string, value: string | File][]
  /** What it is about, for the list: "Reed Sentries, 7 of 8 good". */
  words: string
  /** When it was pressed, as a number of milliseconds. */
  at: number
  /** When it was first sent; undefined while it never was. */
  triedAt?: number
  /** The service did not take it as it is. */
  isRefused?: boolean
}

interface Tables extends DBSchema {
  waiting: { key: string; value: Waiting }
}

const open = () =>
  openDB<Tables>('understudy', 1, { upgrade: (db) => void db.createObjectStore('waiting', { keyPath: 'id' }) })

/** Opened for each use and closed again: an open one would keep a newer version of the page waiting. */
async function withQueue<Result>(use: (db: Awaited<ReturnType<typeof open>>) => Promise<Result>): Promise<Result> {
  const db = await open()
  try {
    return await use(db)
  } finally {
    db.close()
  }
}

/** Keeps it, in the place of what has the same id. @throws DOMException where the browser keeps nothing, or has no room */
export const keep = (waiting: Waiting) => keepQuietly(waiting).then(tellOthers)

/** The same without a word: while it is under way for the first time, nobody has to know. */
export const keepQuietly = (waiting: Waiting) => withQueue((db) => db.put('waiting', waiting))

/** Forgets it: it has arrived, or is not wanted any more. */
export const forget = (id: string) => withQueue((db) => db.delete('waiting', id)).then(tellOthers)

/** What waits of this member's, the oldest first. */
export async function waitingOf(memberId: string): Promise<Waiting[]> {
  const all = await withQueue((db) => db.getAll('waiting'))
  return all.filter((one) => one.memberId === memberId).toSorted((one, other) => one.at - other.at)
}

/** Whether anything waits at all, whosever it is. */
export const anyWaits = () => withQueue(async (db) => (await db.count('waiting')) > 0)

/** What other windows are told. */
export type News = { kind: 'changed' } | { kind: 'arrived'; memberId: string; words: string; path: string }

const channelName = 'understudy-waiting'

/** Tells all windows, this one included. */
export function tell(news: News): void {
  const channel = new BroadcastChannel(channelName)
  channel.postMessage(news)
  channel.close()
}

export const tellOthers = () => tell({ kind: 'changed' })

/** Hears of what changes, here or in another window. */
export function listen(hear: (news: News) => void): void {
  new BroadcastChannel(channelName).addEventListener('message', ({ data }: MessageEvent<News>) => hear(data))
}
