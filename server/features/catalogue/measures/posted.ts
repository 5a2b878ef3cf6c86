import { z } from 'zod'
import type { Db } from '../../../../db/connect.ts'
import { parseJson } from '../../../http/body.ts'
import { fieldErrors, invalid, Problem } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { addSupportSet } from '../revisions/queries.ts'
import { supportKind } from '../revisions/schema.ts'
import { keepMeasure } from './queries.ts'
import { type NewMeasure, newMeasure } from './schema.ts'

const unreadable = 'These numbers can’t be read. Measure the file again.'

/** The measure in a form's text. @throws Problem 422 when there is none, or it can't be true */
export function measuredIn(text: string): NewMeasure {
  const parsed = newMeasure.safeParse(jsonIn(text))
  if (parsed.success) return parsed.data
  const errors = fieldErrors(parsed.error)
  throw new Problem(422, errors[0]?.message ?? unreadable, { errors })
}

function jsonIn(text: string): unknown {
  try {
    return parseJson(text)
  } catch {
    throw invalid('/measured', unreadable)
  }
}

/** What a form that adds a file says of its measure: the numbers, and the supports that it was measured with. */
const measuredFields = z.object({
  measured: z.string().max(200_000).default('').catch(''),
  measuredWith: supportKind.or(z.literal('')).default('').catch(''),
})

/** The rest of such a form. */
export function withoutMeasure(posted: unknown): Record<string, unknown> {
  const { measured: _numbers, measuredWith: _supports, ...rest } = (posted ?? {}) as Record<string, unknown>
  return rest
}

/**
 * Keeps the measure that came along with a new file, of its first revision.
 *
 * @throws Problem 422 when the file has none, or the numbers can't be true
 */
export async function keepFirstMeasure(trx: Db, viewer: Viewer, fileId: string, posted: unknown): Promise<void> {
  const { measured, measuredWith } = measuredFields.parse(posted ?? {})
  if (measured === '') return
  const measure = measuredIn(measured)
  const revision = await trx.selectFrom('revision').select('id').where('fileId', '=', fileId).executeTakeFirst()
  if (!revision) throw invalid('/revision/label', 'Enter a label for the revision that was measured.')
  const supportSetId = measuredWith === '' ? null : await setOf(trx, viewer, revision.id, measuredWith)
  await keepMeasure(trx, viewer, { fileId, revisionId: revision.id, supportSetId }, measure)
}

async function setOf(trx: Db, viewer: Viewer, revisionId: string, kind: z.infer<typeof supportKind>): Promise<string> {
  const known = await trx
    .selectFrom('supportSet')
    .select('id')
    .where('revisionId', '=', revisionId)
    .where('kind', '=', kind)
    .executeTakeFirst()
  return (known ?? (await addSupportSet(trx, viewer, revisionId, { kind, claim: '' }))).id
}
