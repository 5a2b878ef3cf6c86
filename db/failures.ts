/** What both drivers put on an error that the database itself reported. */
interface Reported {
  code?: unknown
  constraint?: unknown
  syscall?: unknown
  message?: unknown
}

/**
 * Name of the unique constraint or index that refused a row.
 *
 * @returns undefined when the error is something else
 */
export function uniqueViolation(error: unknown): string | undefined {
  const { code, constraint } = reported(error)
  return code === '23505' && typeof constraint === 'string' ? constraint : undefined
}

/**
 * For `.catch` of a write: refuses a row that is there already.
 *
 * @param index by which it is unique, as the database calls it; any if left out
 */
export const ifTaken = (refusal: () => Error, index?: string) => (error: unknown) => {
  const taken = uniqueViolation(error)
  throw taken !== undefined && taken === (index ?? taken) ? refusal() : error
}

/** For `.catch` of a write: refuses a row that refers to what is gone. */
export const ifMissing = (refusal: () => Error) => (error: unknown) => {
  throw reported(error).code === '23503' ? refusal() : error
}

/** Whether a table or column is not there: the database is empty, or of an older version. */
export const isOlderOrNone = (error: unknown) => ['42P01', '42703'].includes(String(reported(error).code))

/**
 * Whether the database could not be reached or went away, so that trying again later may well succeed.
 * A statement that ran too long (57014) is not that: it would run too long again.
 *
 * @see https://www.postgresql.org/docs/current/errcodes-appendix.html
 */
export function databaseIsAway(error: unknown): boolean {
  const { code, syscall, message } = reported(error)
  if (typeof code === 'string' && (/^08.{3}$/.test(code) || awayCodes.has(code))) return true
  if (code === 'ENOENT' && syscall === 'connect') return true // the server's socket file is not there
  return typeof message === 'string' && awayMessages.test(message)
}

const awayCodes = new Set([
  // SQLSTATE: too many connections; shut down by an administrator, by a crash, not up yet, idle too long
  ...['53300', '57P01', '57P02', '57P03', '57P05', '25P03'],
  // the operating system's
  ...['ECONNREFUSED', 'ECONNRESET', 'EPIPE', 'ENOTFOUND', 'EAI_AGAIN', 'ETIMEDOUT', 'EHOSTUNREACH', 'ENETUNREACH'],
])

/** Some losses reach us without a code, from pg, pg-pool, PGlite and Kysely in this order. */
const awayMessages =
  /^(Connection terminated|timeout exceeded when trying to connect|timeout expired|Client (has encountered a connection error|was closed) and is not queryable|Cannot use a pool after calling end|PGlite (instance )?is (already )?clos|driver has already been destroyed)/

/** Whether a write was refused because the disk is full or closed to us: PostgreSQL's own word for it, or the system's. */
export const cannotBeSaved = (error: unknown) =>
  ['53100', 'ENOSPC', 'EDQUOT', 'EROFS', 'EACCES'].includes(String(reported(error).code))

function reported(error: unknown): Reported {
  return typeof error === 'object' && error !== null ? error : {}
}
