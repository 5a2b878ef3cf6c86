import { z } from 'zod'

/** Whether a host, as it stands in an address, is this machine itself. */
export const isLoopback = (host: string) => /^(localhost|127(\.\d{1,3}){3}|::1|\[::1\])$/i.test(host)

const isOrigin = (text: string) => URL.parse(text)?.href === `${URL.parse(text)?.origin}/`

const onOff = z.enum(['on', 'off'])

/** How many changes a member may send, whether they are accepted or not. */
export interface WriteLimits {
  perMinute: number
  perDay: number
}

/** More than anybody types, and enough for a program that notes a shelf of files. */
export const usualWriteLimits: WriteLimits = { perMinute: 120, perDay: 5000 }

const atLeastOne = z.coerce.number('a whole number, please').int().min(1).max(1_000_000_000)

const environment = z.object({
  PORT: z.coerce.number().int().min(0).max(65535).default(8648),
  HOST: z.string().min(1).default('127.0.0.1'),
  DATA_DIR: z.string().min(1).default('./data'),
  DATABASE_URL: z
    .string()
    .regex(/^postgres(ql)?:\/\//, 'must start with postgres:// or postgresql://')
    .optional(),
  DEMO: onOff.default('on'),
  LOG_LEVEL: z.enum(['fatal', 'error', 'warn', 'info', 'debug', 'trace', 'silent']).default('info'),
  TRUST_PROXY: onOff.default('off'),
  PUBLIC_URL: z
    .url({ protocol: /^https?$/, error: 'must be an address such as https://understudy.group.example' })
    .refine(isOrigin, 'must end after its host: no path, no name and no query')
    .transform((text) => new URL(text).origin)
    .optional(),
  PLAIN_HTTP: onOff.default('off'),
  WRITES_PER_MINUTE: atLeastOne.default(usualWriteLimits.perMinute),
  WRITES_PER_DAY: atLeastOne.default(usualWriteLimits.perDay),
  S3_BUCKET: z.string().min(3).max(63).optional(),
  S3_ENDPOINT: z.url({ protocol: /^https?$/, error: 'must be an address such as https://s3.group.example' }).optional(),
  S3_REGION: z.string().min(1).default('us-east-1'),
  S3_ACCESS_KEY_ID: z.string().min(1).optional(),
  S3_SECRET_ACCESS_KEY: z.string().min(1).optional(),
})

/** A bucket of a service that speaks S3. */
export interface Bucket {
  bucket: string
  /** undefined: that of Amazon for the region */
  endpoint: string | undefined
  region: string
  accessKeyId: string
  secretAccessKey: string
}

export interface Config {
  port: number
  host: string
  /** By what others than whoever sits at this machine get in, such as "HOST is 0.0.0.0"; undefined where nothing lets them. */
  opening: string | undefined
  dataDir: string
  databaseUrl: string | undefined
  demo: boolean
  logLevel: z.infer<typeof environment>['LOG_LEVEL']
  /** A proxy in front says by X-Forwarded-* who asks and whether by TLS. */
  trustProxy: boolean
  /** Origin at which members reach the service; undefined where nobody but this machine does. */
  publicUrl: string | undefined
  /** How many changes a member may send. */
  writeLimits: WriteLimits
  /** Where pictures are kept; undefined for a folder in `dataDir`. */
  bucket: Bucket | undefined
}

/** A variable of the environment that can't be used; the message names it. */
export class ConfigError extends Error {}

/** The system's failures, and those of PostgreSQL that are about reaching it: connection, authorisation, no such database. */
const outside = /^(E[A-Z_]+|(08|28|3D|53|57).{3})$/

/**
 * For the failure of what a variable of the environment led to, such as an address that can't be listened at.
 *
 * @returns throws a ConfigError that names the variable; what is no failure of the world outside is thrown as it is
 */
export function blaming(variable: string): (error: unknown) => never {
  return (error) => {
    const { code, message } = error as { code?: unknown; message?: string }
    if (typeof code !== 'string' || !outside.test(code)) throw error
    throw new ConfigError(`${variable} can't be used: ${message || code}`)
  }
}

/**
 * Reads the environment once.
 *
 * An empty variable counts as not set. The demo group is only ever made in an embedded database that nobody but this
 * machine reaches: its passwords are public.
 *
 * @throws ConfigError naming the first bad variable and what it should be
 */
export function readConfig(env: Record<string, string | undefined>): Config {
  const given = Object.fromEntries(Object.entries(env).filter(([, value]) => value !== undefined && value !== ''))
  const parsed = environment.safeParse(given)
  if (!parsed.success) {
    const issue = parsed.error.issues[0]
    throw new ConfigError(`${String(issue?.path[0])} can't be used: ${issue?.message}`)
  }
  const e = parsed.data
  const opening = openingOf(e)
  if (env.DEMO === 'on' && opening)
    throw new ConfigError(`DEMO can't be on while ${opening}: the demo group's passwords are public. Set DEMO=off.`)
  if (opening && !e.PUBLIC_URL)
    throw new ConfigError(
      `PUBLIC_URL is missing while ${opening}: at which address does the group reach the service? For example https://understudy.group.example`,
    )
  if (isReadableOnTheWay(e) && e.PLAIN_HTTP === 'off')
    throw new ConfigError(
      `PUBLIC_URL can't be used: over http:// whoever is on the way reads passwords. Put a proxy with TLS in front and say https://, or PLAIN_HTTP=on for a network where you trust everybody.`,
    )
  if (env.DEMO === 'on' && e.DATABASE_URL)
    throw new ConfigError("DEMO can't be on with DATABASE_URL: the demo group lives in the embedded database alone.")
  return {
    port: e.PORT,
    host: e.HOST.replace(/^\[|\]$/g, ''),
    opening,
    dataDir: e.DATA_DIR,
    databaseUrl: e.DATABASE_URL,
    demo: e.DEMO === 'on' && !opening && !e.DATABASE_URL,
    logLevel: e.LOG_LEVEL,
    trustProxy: e.TRUST_PROXY === 'on',
    publicUrl: e.PUBLIC_URL,
    writeLimits: { perMinute: e.WRITES_PER_MINUTE, perDay: e.WRITES_PER_DAY },
    bucket: bucketOf(e),
  }
}

/** @throws ConfigError where there is a bucket and no key to it */
function bucketOf(e: z.infer<typeof environment>): Bucket | undefined {
  if (e.S3_BUCKET === undefined) return undefined
  const { S3_BUCKET: bucket, S3_ENDPOINT: endpoint, S3_REGION: region } = e
  const { S3_ACCESS_KEY_ID: accessKeyId, S3_SECRET_ACCESS_KEY: secretAccessKey } = e
  if (!accessKeyId || !secretAccessKey)
    throw new ConfigError('S3_ACCESS_KEY_ID or S3_SECRET_ACCESS_KEY is missing: pictures are to be kept in S3_BUCKET.')
  return { bucket, endpoint, region, accessKeyId, secretAccessKey }
}

function openingOf({ HOST, TRUST_PROXY, PUBLIC_URL }: z.infer<typeof environment>): string | undefined {
  if (!isLoopback(HOST)) return `HOST is ${HOST}`
  // A proxy on the same machine hands on what comes from anywhere.
  if (TRUST_PROXY === 'on') return 'TRUST_PROXY is on'
  return PUBLIC_URL && !isLoopback(new URL(PUBLIC_URL).hostname) ? `PUBLIC_URL is ${PUBLIC_URL}` : undefined
}

/** Whether what members send crosses a network without TLS. */
const isReadableOnTheWay = ({ PUBLIC_URL }: z.infer<typeof environment>) =>
  PUBLIC_URL?.startsWith('http:') === true && !isLoopback(new URL(PUBLIC_URL).hostname)
