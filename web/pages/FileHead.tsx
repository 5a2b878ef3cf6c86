import type { Base } from '../parts/base-size.tsx'
import { ButtonLink } from '../parts/button.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import type { FigureShadow } from '../parts/outline.ts'
import { type FigureSize, Shadow, scaleFor } from '../parts/shadow.tsx'
import { sculptorWords, UnitLinks } from './FileRows.tsx'

interface Drawn {
  base: Base | null
  heightMm: number | null
  scaleMm: number | null
  /** Null while nobody has measured it. */
  shadow: FigureShadow | null
}

const usualScaleMm = 28
const room = { heightPx: 180, widthPx: 180 }

/** The figure's shadow on its base, or the dashed box of its size, beside a ruled centimetre. */
export function FileDrawing({ file }: { file: Drawn }) {
  const { shadow, heightMm, base } = file
  const figure: FigureSize = { shadow, heightMm, base, scaleMm: file.scaleMm ?? usualScaleMm }
  return <Shadow figure={figure} pxPerMm={scaleFor([figure], room)} ruler label={labelOf(file)} />
}

const labelOf = ({ shadow, base }: Drawn) =>
  `${shadow ? 'Its shadow, as measured' : 'A box where its shadow will be'}${base ? ', on its base' : ''}, beside a centimetre`

/** "by Tilda Vorn, stands in for Fen Wardens": the units are links. */
export function FileLead({
  file,
}: {
  file: { sculptor: { name: string | null }; units: { id: string; name: string }[] }
}) {
  return (
    <>
      {sculptorWords(file.sculptor)}
      {file.units.length > 0 && (
        <>
          ; stands in for <UnitLinks units={file.units} />
        </>
      )}
    </>
  )
}

/** What a good one comes to at the printer, and the way to say how it came out. */
export function FileSum({ fileId, perGood }: { fileId: string; perGood: MoneyValue | null }) {
  return (
    <>
      {perGood && (
        <p>
          <small>printing, a good one</small>{' '}
          <span class="sum">
            <Money value={perGood} />
          </span>
        </p>
      )}
      <ButtonLink main href={`/reports/new?fileId=${fileId}`}>
        Report a print of it
      </ButtonLink>
    </>
  )
}
