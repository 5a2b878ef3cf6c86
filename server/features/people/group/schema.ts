import { z } from 'zod'
import { line } from '../../../http/fields.ts'
import { isCurrency } from '../../../http/money.ts'
import { newMember } from '../members/schema.ts'

export const currency = z.string().refine(isCurrency, 'This is not a currency code such as EUR (ISO 4217).')

/** What turns an empty installation into a group with an owner. */
export const newGroup = z
  .strictObject({ groupName: line(80), currency, owner: newMember, setupCode: z.string().max(100).optional() })
  .meta({ id: 'NewGroup' })
