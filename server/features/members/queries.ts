import { v7 } from 'uuid'
import type { z } from 'zod'
import type { Db } from '../../../db/connect.ts'
import { uniqueViolation } from '../../../db/failures.ts'
import type { Role } from '../../../db/tables.ts'
import { invalid } from '../../http/problem.ts'
import { hashPassword } from './rules.ts'
import type { newMember } from './schema.ts'

/** Adds a member. @throws Problem 422 when the address is taken */
export async function addMember(db: Db, who: z.infer<typeof newMember>, role: Role): Promise<{ id: string }> {
  const row = { id: v7(), name: who.name, email: who.email, passwordHash: await hashPassword(who.password), role }
  try {
    await db.insertInto('member').values(row).execute()
  } catch (error) {
    if (uniqueViolation(error) === 'member_email')
      throw invalid('/email', 'Somebody here has this address already. Sign in instead?')
    throw error
  }
  return { id: row.id }
}
