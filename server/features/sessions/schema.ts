import { z } from 'zod'

// Read as leniently as possible: a wrong address and a wrong password get the same answer.
export const credentials = z
  .strictObject({ email: z.string().trim().toLowerCase().max(200), password: z.string().max(200) })
  .meta({ id: 'Credentials' })
