import { DateWords } from '../parts/date-words.tsx'
import { type MeasureNumbers, resinOf, sizeWords, supportsWords, widestWords } from '../parts/measure-words.ts'

/** The measure that a file is drawn by, or the newest where none has an outline. */
export interface AsMeasured extends MeasureNumbers {
  revision: { id: string; label: string }
  /** What kind of supports it was measured with; null: as it was sculpted. */
  supports: string | null
  by: string
  at: string
}

interface Props {
  measured: AsMeasured | null
  /** The newest revision, to be measured; null while none is known. */
  newest: { id: string } | null
}

/** The label beside a figure's shadow: what was measured, when and by whom. */
export function FileMeasured({ measured, newest }: Props) {
  if (!measured)
    return (
      <p class="quiet">
        Nobody has measured it yet.
        {newest && (
          <>
            {' '}
            Have it at hand? <a href={`/revisions/${newest.id}/measure`}>Measure the file</a>: your browser does it, and
            sends numbers only.
          </>
        )}
      </p>
    )
  return (
    <p>
      {[sizeWords(measured), resinOf(measured), widestWords(measured)].filter(Boolean).join(', ')}.{' '}
      <span class="quiet">
        As measured by {measured.by}, <DateWords on={measured.at} as="distance" />: {measured.revision.label},{' '}
        {supportsWords(measured.supports)}.
      </span>
    </p>
  )
}
