import type { Base } from '../parts/base-size.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { type MeasureNumbers, resinOf, sizeWords, supportsWords, widestWords } from '../parts/measure-words.ts'
import type { FigureShadow } from '../parts/outline.ts'
import { type FigureSize, Shadow, scaleFor } from '../parts/shadow.tsx'

/** The measure that a file is drawn by, or the newest where none has an outline. */
export interface AsMeasured extends MeasureNumbers {
  revision: { id: string; label: string }
  /** What kind of supports it was measured with; null: as it was sculpted. */
  supports: string | null
  by: string
  at: string
}

interface Props {
  file: { base: Base | null; heightMm: number | null; scaleMm: number | null; shadow: FigureShadow | null }
  measured: AsMeasured | null
  /** The newest revision, to be measured; null while none is known. */
  newest: { id: string } | null
}

const usualScaleMm = 28
const room = { heightPx: 220, widthPx: 220 }

/** The figure's shadow on its base, and beside it on a label what was measured, when and by whom. */
export function FileMeasured({ file, measured, newest }: Props) {
  const { shadow, heightMm, base } = file
  const figure: FigureSize = { shadow, heightMm, base, scaleMm: file.scaleMm ?? usualScaleMm }
  return (
    <div class="file-measured">
      <Shadow figure={figure} pxPerMm={scaleFor([figure], room)} ruler label={labelOf(file)} />
      {measured ? (
        <Label measured={measured} />
      ) : (
        <p class="quiet">
          Nobody has measured it yet.
          {newest && (
            <>
              {' '}
              Have it at hand? <a href={`/revisions/${newest.id}/measure`}>Measure the file</a>: your browser does it,
              and sends numbers only.
            </>
          )}
        </p>
      )}
    </div>
  )
}

function Label({ measured }: { measured: AsMeasured }) {
  const { revision, supports } = measured
  const words = [sizeWords(measured), resinOf(measured), widestWords(measured)].filter(Boolean).join(', ')
  return (
    <p>
      {words}. <span class="quiet">As measured by {measured.by}, </span>
      <span class="quiet">
        <DateWords on={measured.at} as="distance" />: {revision.label}, {supportsWords(supports)}.
      </span>
    </p>
  )
}

const labelOf = ({ shadow, base }: Props['file']) =>
  `${shadow ? 'Its shadow, as measured' : 'A box where its shadow will be'}${base ? ', on its base' : ''}, beside a centimetre`
