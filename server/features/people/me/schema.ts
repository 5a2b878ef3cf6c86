import { z } from 'zod'
import { changedMe } from '../members/schema.ts'

// All of it has to be there in these forms, where over REST each part may be left out.
export const aboutForm = changedMe
  .pick({ name: true, defaultPrinterId: true, defaultResinId: true, defaultCrowding: true })
  .required()
export const addressForm = changedMe.pick({ email: true, password: true }).required()
export const passwordForm = z.strictObject({ password: changedMe.shape.password.unwrap().required() })
