import type { AnswerProps } from '../../../web/parts/answer.tsx'
import type { Answer, Answers } from './schema.ts'

/** An answer as the pages show it: the figures of the API, and how each term came about in words. */
export function shownAnswer(answer: Answer, { wanted, looksWorth }: Answers, dearest: string): AnswerProps {
  const copies = wanted === 1 ? '1 copy' : `${wanted} copies`
  const failures = (wanted * (answer.attemptsPerGood - 1)).toFixed(1)
  const notLooking = Math.round((1 - answer.votes.share) * 100)
  return {
    answer: {
      ...answer,
      href: `/files/${answer.file.id}`,
      title: answer.file.title,
      sculptor: answer.file.sculptor.name,
      basis: answer.printSuccess.basis,
      ...(answer.printSuccess.cantTell && { doubt: "Can't tell the file from that printer yet." }),
    },
    max: dearest,
    notes: {
      price: priceNote(answer),
      resinForGood: `${copies} of ${answer.resinMl.perCopy} ml${answer.resinMl.assumed ? ', assumed: the file does not say' : ''}`,
      failures: `${failures} more copies to print, going by the reports`,
      snagTime: 'minutes of its open snags, at what an hour is worth to the group',
      looks: `${wanted} × ${looksWorth.amount} × ${notLooking} of 100 who would not field it`,
    },
  }
}

function priceNote({ offer, owned, obtainable }: Answer): string {
  if (owned) return 'you have it already'
  if (!obtainable || !offer) return 'not counted: it can not be had'
  return { purchase: 'bought alone', bundle: 'the whole bundle', membership: 'the months it takes', free: 'free' }[
    offer.kind
  ]
}
