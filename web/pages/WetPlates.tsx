import { DateWords } from '../parts/date-words.tsx'

export interface WetPlate {
  id: string
  printer: string
  printedOn: string
}

/** Failed plates that were noted in passing and count for nothing until they are told. */
export function WetPlates({ plates }: { plates: WetPlate[] }) {
  return (
    <ul class="plain-list">
      {plates.map(({ id, printer, printedOn }) => (
        <li key={id}>
          The failed plate on {printer}, <DateWords on={printedOn} as="distance" />:{' '}
          <a href={`/plates/${id}/edit`}>
            report it in full<span class="visually-hidden">: {printer}</span>
          </a>
        </li>
      ))}
    </ul>
  )
}
