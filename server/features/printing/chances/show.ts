import type { FastifyRequest } from 'fastify'
import type { FileChancesProps } from '../../../../web/pages/FileChances.tsx'
import type { Values } from '../../../../web/parts/form.tsx'
import { fieldErrors, Problem } from '../../../http/problem.ts'
import { usualOf, withLook } from '../printers/own.ts'
import { type ChanceFacts, chancesOf } from './queries.ts'
import { type ChancesQuery, chancesQuery, mostCopies } from './schema.ts'

/** What is asked, of a file that stands in for no unit, until somebody asks otherwise: half a dozen on one plate. */
const usualCopies = 6

/**
 * "Will it print on mine?" on a file's page: the form as its address fills it, the usual printer and plate where it says
 * nothing, and the answer, or what is wrong with the question.
 *
 * @param known with the printers that the reader has in use
 * @param unit that the file stands in for: as many as it has models are asked for first
 */
export async function fileChances(
  request: FastifyRequest,
  fileId: string,
  known: ChanceFacts,
  unit: { name: string; modelsPerUnit: number } | null,
): Promise<FileChancesProps> {
  const { member } = request
  const { model, lines, printers } = known
  const usual = usualOf(printers, member)
  const asked = 'copies' in (request.query as object)
  const first = unit && unit.modelsPerUnit <= mostCopies ? unit : null
  const copies = String(first?.modelsPerUnit ?? usualCopies)
  const values: Values = asked ? textsOf(request.query) : { copies, plates: '1', printerId: usual?.id ?? '' }
  const said = Object.entries(values).filter(([field, text]) => text !== '' || field === 'copies')
  const parsed = chancesQuery.safeParse(Object.fromEntries(said))
  const answer = parsed.success
    ? await answered(request, known, parsed.data)
    : { errors: namedErrors(fieldErrors(parsed.error)) }
  return {
    fileId,
    unit: asked ? null : (first?.name ?? null),
    kinds: lines.map(({ kind }) => kind),
    printers: printers.map((printer) => withLook(request, printer, model)),
    form: { values, errors: {}, ...answer },
    chances: null,
    ...answer,
  }
}

const fields = ['copies', 'plates', 'crowding', 'printerId', 'kind'] as const

/** What the address says of the form's fields; of one that comes twice, the first. */
function textsOf(query: unknown): Record<string, string> {
  const given = query as Record<string, string | string[] | undefined>
  return Object.fromEntries(fields.map((field) => [field, [given[field]].flat()[0]?.trim() ?? '']))
}

async function answered({ db, member }: FastifyRequest, facts: ChanceFacts, asked: ChancesQuery) {
  try {
    return { chances: await chancesOf(db, member, facts, asked) }
  } catch (error) {
    if (!(error instanceof Problem) || error.status !== 422) throw error
    return { errors: namedErrors(error.errors) }
  }
}

const namedErrors = (errors: { path: string; message: string }[]) =>
  Object.fromEntries(errors.map(({ path, message }) => [path.slice(1), message]))
