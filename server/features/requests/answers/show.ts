import { figureOf } from '../../../../web/pages/StandInCells.tsx'
import type { AnswerProps } from '../../../../web/parts/answer-words.ts'
import { resinWords } from '../../../../web/parts/money.tsx'
import { priorVotes } from '../votes/rules.ts'
import type { Facts } from './facts.ts'
import { plateOf } from './plate.ts'
import type { Answer, Answers } from './schema.ts'

/** An answer as the pages show it: the figures of the API, and how each term came about in words. */
export function shownAnswer(answer: Answer, answers: Answers, facts: Facts, unitScaleMm: number): AnswerProps {
  const plate = plateOf(answer, facts)
  const { wanted, looksWorth } = answers
  const { file, snags: _, ...figures } = answer
  const { expectedFailures, plates } = answer.printing
  const copies = wanted === 1 ? '1 copy' : `${wanted} copies`
  return {
    answer: {
      ...figures,
      currency: looksWorth.currency,
      href: `/files/${file.id}`,
      title: file.title,
      sculptor: file.sculptor.name,
      way: wayWords(answer),
      wanted,
      figure: figureOf(file, { scaleMm: unitScaleMm }),
      face: file.face,
      basis: answer.printSuccess.basis,
      ...(answers.printer && { on: `${answers.printer.name}, as it is now` }),
      ...(answer.printSuccess.cantTell && { doubt: "Can't tell the file from that printer yet." }),
    },
    max: dearest(answers),
    ...(plate && { plate }),
    notes: {
      price: priceNote(answer),
      resinForGood: resinNote(answer, answers, copies),
      plates: `for the good copies${plates === null ? ', on a foot model’s base: the file does not say' : ''}`,
      failures: `${expectedFailures.toFixed(1)} more copies on average: their resin, clean-up and share of plates`,
      snagTime: 'minutes of its open snags, at what an hour is worth to the group',
      looks: looksNote(answer, answers),
    },
  }
}

/**
 * "10 × 1.50 × 17.27 of 100 who would not field it: 7 of 8 would; 4 votes as the group usually votes are added", to as many
 * decimals as it takes for the product to be the sum beside it.
 */
export function looksNote({ votes: { yes, no, share }, breakdown }: Answer, { wanted, looksWorth }: Answers): string {
  const notFielding = 100 * (1 - share)
  const isExact = (share: string) =>
    Math.abs((wanted * Number(looksWorth.amount) * Number(share)) / 100 - Number(breakdown.looks)) <
    half(breakdown.looks)
  const shares = [0, 1, 2, 3, 4, 5, 6].map((digits) => notFielding.toFixed(digits))
  const told = shares.find(isExact) ?? shares.at(-1)
  const votes = yes + no === 0 ? 'by' : `${yes} of ${yes + no} would;`
  const added = `${votes} ${priorVotes} votes as the group usually votes${yes + no === 0 ? '' : ' are added'}`
  return `${wanted} × ${looksWorth.amount} × ${told} of 100 who would not field it: ${added}`
}

/** Half of an amount's smallest unit. */
const half = (amount: string) => 0.5 * 10 ** -(amount.split('.')[1]?.length ?? 0)

function resinNote({ resinMl }: Answer, { resin }: Answers, copies: string): string {
  const assumed = resinMl.assumed ? ', assumed: the file does not say' : ''
  return `${copies} of ${resinMl.perCopy} ml${assumed}${resin ? `; ${resinWords(resin)}` : ''}`
}

/** The largest score, which all bars are drawn to. */
const dearest = ({ items }: Answers) => String(Math.max(0, ...items.map(({ score }) => Number(score ?? 0))))

const wayWords = ({ owned, obtainable, offer }: Answer) => {
  if (owned) return 'you have it'
  if (!obtainable || !offer) return null
  return { purchase: 'bought singly', bundle: 'in a bundle', membership: 'by membership', free: 'free' }[offer.kind]
}

function priceNote({ offer, owned, obtainable }: Answer): string {
  if (owned) return 'you have it already'
  if (!obtainable || !offer) return 'no price: it cannot be had'
  return { purchase: 'bought alone', bundle: 'the whole bundle', membership: 'the months it takes', free: 'free' }[
    offer.kind
  ]
}
