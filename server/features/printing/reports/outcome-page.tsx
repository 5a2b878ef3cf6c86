import type { FastifyReply } from 'fastify'
import { Plate as PlatePage } from '../../../../web/pages/Plate.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { mayChange } from '../../../http/access.ts'
import { blank, madeFrom, once, page } from '../../../http/page.tsx'
import { picturesOfPlate } from '../pictures/queries.ts'
import type { Plate } from '../plates/schema.ts'
import { countsOfPlate } from './counting.ts'
import { isRightTooSeldom, verdictOf } from './verdict.ts'

/**
 * How a plate came out, whichever of its prints one came from.
 *
 * @param form of the pictures that were sent and not taken
 */
export async function outcomePage(reply: FastifyReply, plate: Plate, form: FormState = blank()): Promise<string> {
  const { db, member } = reply.request
  const verdict = await verdictOf(db, plate)
  const props = {
    plate,
    verdict: {
      ...verdict,
      isRightTooSeldom: isRightTooSeldom(verdict),
      isHalfEmpty: plate.crowding === 'half empty',
    },
    isMine: plate.member.id === member.id,
    pictures: (await picturesOfPlate(db, member, plate.id)).map((picture) => ({
      ...picture,
      mayChange: mayChange(member, picture.member.id),
    })),
    counts: plate.member.id === member.id ? await countsOfPlate(db, member, plate.id) : [],
    adding: { form, hidden: once() },
    remove: mayChange(member, plate.member.id) ? madeFrom(plate.version) : undefined,
  }
  return page(reply, { title: titleOf(plate), children: <PlatePage {...props} /> })
}

function titleOf({ told, printer, prints }: Plate): string {
  if (!told) return `A failed plate on ${printer.name}`
  const [first, ...others] = prints
  const sum = (count: 'tried' | 'good') => prints.reduce((total, print) => total + print[count], 0)
  const rest = others.length > 0 ? ` and ${others.length} more` : ''
  return `${sum('good')} of ${sum('tried')} good: ${first?.file.title ?? ''}${rest}`
}
