import { DateWords } from '../parts/date-words.tsx'
import { failuresWords, type ReportedPrint } from './ReportTable.tsx'

export interface LatestPrint extends ReportedPrint {
  file: { id: string; title: string }
  printer: { name: string }
}

/** What was printed, close-set, the latest first: how many came out is what one looks for. */
export function LatestPrints({ prints }: { prints: LatestPrint[] }) {
  return (
    <ul class="latest">
      {prints.map(({ id, file, printer, printedOn, tried, good, mended, failures }) => (
        <li key={id}>
          <a class="latest-name" href={`/reports/${id}`}>
            {file.title}
          </a>
          <span class="sum">
            {good} of {tried}
          </span>
          <small>
            {printer.name}, <DateWords on={printedOn} as="distance" />
            {failures.length > 0 && `: ${failuresWords(failures)}`}
            {mended > 0 && `, ${mended} mended`}
          </small>
        </li>
      ))}
    </ul>
  )
}
