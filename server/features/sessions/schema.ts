import { z } from 'zod'
import { line } from '../../http/fields.ts'

// Read as leniently as possible: a wrong address and a wrong password get the same answer.
export const credentials = z
  .strictObject({
    email: line(200).toLowerCase(),
    password: z.string().min(1, 'Please fill this in.').max(200, 'At most 200 characters.'),
  })
  .meta({ id: 'Credentials' })
