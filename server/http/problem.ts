import { z } from 'zod'

/** One refused field: where it stands in the body (a JSON pointer) and what is wrong with it. */
export interface FieldError {
  path: string
  message: string
}

/** What is wrong at a field, where it is. */
export const wrongIf = (isWrong: boolean, path: string, message: string): FieldError[] =>
  isWrong ? [{ path, message }] : []

const titles: Record<number, string> = {
  400: 'This cannot be read',
  401: 'Please sign in',
  403: 'You may not do that',
  404: 'There is no such thing here',
  409: 'This conflicts with what is there now',
  412: 'This has changed since you read it',
  413: 'This is too large',
  415: 'This kind of content is not accepted here',
  421: 'This is the wrong address',
  422: 'Something is not right yet',
  428: 'Say which version you are changing',
  429: 'Too many tries',
  500: 'Something went wrong on our side',
  503: 'This cannot be done just now',
  507: 'Nothing can be saved just now',
}

interface More {
  errors?: FieldError[]
  retryAfterS?: number
  keepsForm?: boolean
}

/**
 * A refusal that the caller can do something about: an answer of RFC 9457 over REST, a page in the browser.
 * Thrown at the place that knows; one handler turns it into the answer.
 */
export class Problem extends Error {
  readonly status: number
  readonly errors: FieldError[]
  readonly retryAfterS: number | undefined
  /** The form that it happens to comes back with what was typed, though nothing in it is wrong. */
  readonly keepsForm: boolean

  constructor(status: number, detail: string, more: More = {}) {
    super(detail)
    this.name = 'Problem'
    this.status = status
    this.errors = more.errors ?? []
    this.retryAfterS = more.retryAfterS
    this.keepsForm = more.keepsForm ?? false
  }

  get title(): string {
    return titles[this.status] ?? 'Refused'
  }
}

/** 404, also for what is hidden from the caller. @param what e.g. "request" */
export const notFound = (what: string) => new Problem(404, `There is no such ${what}, or it is not for you to see.`)

/** Of the disk of the database, and of that of the pictures. */
export const noRoom = 'The service’s disk is full, or closed to the service.'

export const forbidden = (detail: string) => new Problem(403, detail)

export const conflict = (detail: string) => new Problem(409, detail)

/** For a button that takes something away: pressed again, there is nothing left to do. */
export function unlessGone(error: unknown): void {
  if (!(error instanceof Problem && error.status === 404)) throw error
}

/** 422 about one field of the body. @param path JSON pointer, e.g. "/good" */
export const invalid = (path: string, message: string) => new Problem(422, message, { errors: [{ path, message }] })

/** What is wrong with a part of the body is wrong at its place in the whole. @param path JSON pointer of the part */
export async function under<T>(path: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work()
  } catch (error) {
    if (!(error instanceof Problem) || error.errors.length === 0) throw error
    const errors = error.errors.map((one) => ({ ...one, path: path + one.path }))
    throw new Problem(error.status, error.message, { errors })
  }
}

/** Hands on to zod what is wrong, each at its place. */
export function refuseAll(context: z.RefinementCtx, errors: readonly FieldError[]): void {
  for (const { path, message } of errors) context.addIssue({ code: 'custom', path: path.split('/').slice(1), message })
}

/** A zod path as a JSON pointer (RFC 6901). */
export const pointer = (path: readonly PropertyKey[]) =>
  path.map((step) => `/${String(step).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('')

/** More than that nobody mends at a time, and a list of ten thousand would get ten thousand of them. */
const mostErrors = 50

/** What zod found wrong, as the errors of a problem answer. An unknown field is named at its own place. */
export function fieldErrors(error: z.core.$ZodError): FieldError[] {
  const all = error.issues
    .slice(0, mostErrors)
    .flatMap((issue) =>
      issue.code === 'unrecognized_keys'
        ? issue.keys.map((key) => ({ path: pointer([...issue.path, key]), message: 'There is no such field.' }))
        : [{ path: pointer(issue.path), message: issue.message }],
    )
  return all.slice(0, mostErrors)
}

/** The schema of a problem answer, for OpenAPI. */
export const problemSchema = z
  .object({
    type: z.string(),
    title: z.string(),
    status: z.int(),
    detail: z.string(),
    errors: z.array(z.object({ path: z.string(), message: z.string() })).optional(),
  })
  .meta({ id: 'Problem' })
