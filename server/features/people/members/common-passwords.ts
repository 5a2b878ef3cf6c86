import fingerprints from './common-passwords.json' with { type: 'json' }
import { fingerprint } from './fingerprint.ts'

/** The most frequent passwords of at least 10 characters, as test/reference/common-passwords/make.ts made them. */
const known = new Set(fingerprints)

/** Whether many people have had this password, whatever its capitals: it is among the first that are tried. */
export const isCommon = (password: string) => known.has(fingerprint(password.toLowerCase()))
