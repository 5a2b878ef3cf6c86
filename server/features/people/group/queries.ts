import type { FastifyRequest } from 'fastify'
import type { z } from 'zod'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { countTry, placeOf } from '../../../http/attempts.ts'
import { note, noted } from '../../../http/events.ts'
import { readGroup } from '../../../http/group.ts'
import { minorDigits } from '../../../http/money.ts'
import { conflict, invalid, Problem } from '../../../http/problem.ts'
import { addRow } from '../../../http/rows.ts'
import { hashOfCode, newCode } from '../invitations/queries.ts'
import { addMember } from '../members/queries.ts'
import type { newGroup } from './schema.ts'

const alreadySetUp = () =>
  conflict('This installation already has a group. Ask its owner or a steward for an invitation.')

/** @throws Problem 409 unless the installation is still empty */
export async function expectEmpty(db: Db): Promise<void> {
  if (await readGroup(db)) throw alreadySetUp()
}

/**
 * Sets the group and its owner up. The single row of the settings lets only one of two at the same moment through.
 *
 * Starting values (common practice, no source): a good look is worth 1.00 a model, resin costs 35.00 a kg,
 * a plate 1.00,
 * a failed copy 0.50 of clean-up and the plate that it failed on 1.00; 10 ml a model where a file's own figure is not known.
 *
 * @returns the owner, to be signed in
 * @throws Problem 409 on an installation that has its group
 */
export async function setUpGroup(db: Db, set: Omit<z.infer<typeof newGroup>, 'setupCode'>, isDemo = false) {
  const whole = 10 ** minorDigits(set.currency)
  return inTransaction(db, async (trx) => {
    const made = await trx
      .insertInto('groupSettings')
      .values({
        name: set.groupName,
        currency: set.currency,
        looksWorthMinor: whole,
        resinPricePerKgMinor: 35 * whole,
        cleanUpMinor: Math.round(whole / 2),
        cleanUpPerPlateMinor: whole,
        perPlateMinor: whole,
        isDemo,
      })
      .onConflict((c) => c.doNothing())
      .executeTakeFirst()
    if (made.numInsertedOrUpdatedRows === 0n) throw alreadySetUp()
    await trx.deleteFrom('setupCode').execute()
    return addMember(trx, set.owner, 'owner', '/owner')
  })
}

/**
 * Makes a code that lets its reader set up the group. Each process that starts on the empty database makes its own, and
 * any of them will do; they are gone once the group exists.
 *
 * @returns the code, to be printed: only its hash is kept
 */
export async function makeSetupCode(db: Db): Promise<string> {
  const code = newCode()
  await addRow(db, 'setupCode', { codeHash: hashOfCode(code) })
  return code
}

/** Whether the one who sets up has read the log. @throws Problem 422 when the code is missing or wrong */
async function checkSetupCode(db: Db, given = ''): Promise<void> {
  const known = await db
    .selectFrom('setupCode')
    .select('codeHash')
    .where('codeHash', '=', hashOfCode(given.trim()))
    .executeTakeFirst()
  if (!known) throw invalid('/setupCode', 'This is not the code that the service printed in its log when it started.')
}

/** How often somebody may try the set-up code. */
export const setupTries = { tries: 10, windowS: 900 }

/**
 * Sets the group up by this request, and tells the log of those who try it without the code.
 *
 * @returns the owner, to be signed in
 * @throws Problem 409 on an installation that has its group, 422 without the right code, 429
 */
export async function setUp(request: FastifyRequest, set: z.infer<typeof newGroup>) {
  const { db, server } = request
  await countTry(db, [`setup from ${placeOf(request.ip)}`], setupTries, server.now()).catch(noted(request))
  if (server.asksSetupCode)
    await checkSetupCode(db, set.setupCode).catch((error: unknown) => {
      if (error instanceof Problem) note(request, 'set-up code wrong')
      throw error
    })
  return setUpGroup(db, set)
}
