import { anyWaits, forget, keep, keepQuietly, tell, type Waiting, waitingOf } from './queue.ts'

/** What became of a form that was sent. */
export type Outcome =
  /** It is kept; the page that says so. */
  | { kind: 'arrived'; path: string }
  /** There is something to mend: the form as the service shows it. */
  | { kind: 'refused'; html: string }
  | { kind: 'no network' }
  | { kind: 'signed out' }
  /** The service is busy, broken, or another member is signed in: later, perhaps. */
  | { kind: 'not now' }

/** So long a phone waits for an answer, in milliseconds: a form is small, a picture is not. */
const patience = { words: 20_000, pictures: 180_000 }

/**
 * Sends it under its key. Sent twice it is carried out once (server/http/post-once.ts): the fields are the same ones in the same
 * order, the key among them, so whatever answer is lost, the next one is the same.
 */
export async function send(waiting: Waiting): Promise<Outcome> {
  const tried = waiting.triedAt === undefined ? { ...waiting, triedAt: Date.now() } : waiting
  if (tried !== waiting) await keepQuietly(tried)
  const hasPictures = tried.fields.some(([, value]) => typeof value !== 'string')
  try {
    const answer = await fetch(tried.action, {
      method: 'POST',
      body: bodyOf(tried),
      headers: { accept: 'text/html', 'sent-by': tried.memberId },
      signal: AbortSignal.timeout(hasPictures ? patience.pictures : patience.words),
    })
    return await outcomeOf(answer)
  } catch {
    return { kind: 'no network' }
  }
}

function bodyOf({ fields, multipart }: Waiting): FormData | URLSearchParams {
  if (!multipart) return new URLSearchParams(fields.map(([name, value]) => [name, String(value)]))
  const form = new FormData()
  for (const [name, value] of fields) form.append(name, value)
  return form
}

/** Only the page of a plate says that it has arrived: a hotel's own page in between says nothing. */
async function outcomeOf(answer: Response): Promise<Outcome> {
  const { origin, pathname, search } = new URL(answer.url)
  if (answer.ok && origin === location.origin && /^\/plates\/[0-9a-f-]{36}$/.test(pathname))
    return { kind: 'arrived', path: pathname + search }
  if (answer.status === 401) return { kind: 'signed out' }
  const isForGood = answer.status >= 400 && answer.status < 500 && ![403, 408, 425, 429].includes(answer.status)
  return isForGood ? { kind: 'refused', html: await answer.text() } : { kind: 'not now' }
}

/** The service remembers a key for a week; what was first sent so long ago may have arrived and be forgotten. */
const sureForMs = 6 * 24 * 3600 * 1000

/** It may have arrived long ago, so only its member can say whether it has to be sent again. */
export const isUnsure = ({ triedAt }: Waiting) => triedAt !== undefined && Date.now() - triedAt > sureForMs

/** Why what waits is still waiting. */
export type Stopped = 'no network' | 'signed out' | 'not now' | undefined

/**
 * Sends all that waits of whoever is signed in, the oldest first; of two windows that want to, one does.
 *
 * @returns why it stopped before the end, if it did
 */
export async function sendAll(): Promise<Stopped> {
  if (!(await anyWaits())) return undefined
  if (!navigator.locks) return sendInTurn()
  return navigator.locks.request('understudy-sending', { ifAvailable: true }, async (lock) =>
    lock ? sendInTurn() : undefined,
  )
}

async function sendInTurn(): Promise<Stopped> {
  const memberId = await whoIsSignedIn()
  if (typeof memberId !== 'string') return memberId.stopped
  for (const waiting of await waitingOf(memberId)) {
    if (waiting.isRefused || isUnsure(waiting)) continue
    const outcome = await send(waiting)
    if (outcome.kind === 'arrived') await arrived(waiting, outcome.path)
    else if (outcome.kind === 'refused') await keep({ ...waiting, isRefused: true })
    else return outcome.kind
  }
  return undefined
}

/** It has arrived: forgets it, and says so in every window. */
export async function arrived({ id, memberId, words }: Waiting, path: string): Promise<void> {
  await forget(id)
  tell({ kind: 'arrived', memberId, words, path })
}

async function whoIsSignedIn(): Promise<string | { stopped: Stopped }> {
  try {
    const answer = await fetch('/api/v1/me', { signal: AbortSignal.timeout(patience.words) })
    if (answer.status === 401) return { stopped: 'signed out' }
    if (!answer.ok) return { stopped: 'not now' }
    return ((await answer.json()) as { id: string }).id
  } catch {
    return { stopped: 'no network' }
  }
}
