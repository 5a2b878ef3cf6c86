import { z } from 'zod'
import { id, instant } from '../../../http/fields.ts'
import { pageQuery } from '../../../http/paging.ts'
import { fileSchema } from '../files/schema.ts'
import { offerSchema } from '../offers/schema.ts'

/** A file that the member has: its price is 0 for them. */
export const archivedSchema = z.object({ file: fileSchema, since: instant }).meta({ id: 'Archived' })

/** A membership that the member pays for: what it opens costs them nothing more. */
export const runningSchema = z.object({ offer: offerSchema, since: instant }).meta({ id: 'RunningMembership' })

export const archiveList = z.object(pageQuery)
export const byFileId = z.object({ fileId: id })
export const byOfferId = z.object({ offerId: id })

export type Archived = z.infer<typeof archivedSchema>
export type Running = z.infer<typeof runningSchema>
