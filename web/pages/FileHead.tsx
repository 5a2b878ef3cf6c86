import type { ComponentChildren } from 'preact'
import type { Base } from '../parts/base.ts'
import { ButtonLink, LinkList } from '../parts/blocks.tsx'
import type { Breakdown } from '../parts/cost-bar.tsx'
import { type MoneyValue, notToBeHad, Sum } from '../parts/money.tsx'
import { Picture, type ShownPicture } from '../parts/picture.tsx'
import { type FigureSize, Shadow, scaleFor } from '../parts/shadow.tsx'
import { type FileRow, figureOf, sculptorWords } from './Files.tsx'

/** What a file costs to the table, price included, as the answers have it. */
export interface TableSum {
  /** The unit that it stands in for, and as many models as its box holds; one of a file that stands in for none. */
  unit: string | null
  wanted: number
  /** Null where it can be had; else why not, and the sums are of printing alone. */
  whyNot: string | null
  /** How it is had for that; null where it can't be. */
  way: 'purchase' | 'bundle' | 'membership' | 'free' | null
  perModel: MoneyValue
  /** All of them. */
  whole: MoneyValue
  /** What 9 in 10 do not exceed for all of them. */
  badLuck: MoneyValue
  breakdown: Breakdown
}

/** What a file is drawn by. */
export interface Drawn extends Pick<FileRow, 'title' | 'base' | 'heightMm' | 'scaleMm' | 'shadow'> {
  /** A member's picture of a good print. */
  face: ShownPicture | null
  units: { base: Base | null }[]
}

const room = { heightPx: 180, widthPx: 180 }

/** A member's print of it, and its shadow on its base with the unit's around it, beside a ruled centimetre. */
export function FileDrawing({ file }: { file: Drawn }) {
  const figure: FigureSize = figureOf(file)
  const unitBase = file.units[0]?.base ?? null
  const pxPerMm = scaleFor([figure], room, unitBase)
  return (
    <div class="file-drawing">
      {file.face && (
        <a href={file.face.large.src} aria-label={`In full: ${file.face.alt}`}>
          <Picture picture={file.face} sizes="15rem" now />
        </a>
      )}
      <Shadow figure={figure} unitBase={unitBase} pxPerMm={pxPerMm} ruler label={labelOf(file, unitBase)} />
    </div>
  )
}

const labelOf = ({ shadow, base }: Drawn, unitBase: Base | null) =>
  [
    shadow ? 'Its shadow, as measured' : 'A box where its shadow will be',
    base && ', on its base',
    unitBase && ', inside a dashed ring, the unit’s base',
    ', beside a centimetre',
  ]
    .filter(Boolean)
    .join('')

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
          ; stands in for <LinkList to="units" things={file.units} />
        </>
      )}
    </>
  )
}

/** What a model costs to the table, price included, and the way to say how it came out. */
export function FileSum({ fileId, sum }: { fileId: string; sum: TableSum | null }) {
  return (
    <>
      {sum && (
        <p>
          <small>{sum.whyNot === null ? 'to the table, a model' : `${notToBeHad}; printing a model`}</small>{' '}
          <Sum value={sum.perModel} />
          {sum.wanted > 1 && <small>for {forWords(sum)}</small>}
        </p>
      )}
      <ButtonLink main href={`/reports/new?fileId=${fileId}`}>
        Report a print of it
      </ButtonLink>
    </>
  )
}

/** "10 Fen Wardens", "one". */
export const forWords = ({ wanted, unit }: Pick<TableSum, 'wanted' | 'unit'>): string =>
  unit === null || wanted === 1 ? 'one' : `${wanted} ${unit}`

/** A file that something is added to: its shadow where there is room beside the form, and what is known already. */
export interface FileToAddTo extends Drawn {
  id: string
}

interface BesideProps {
  file: Drawn
  /** What is known already, one a line; `none` is said where that is nothing. */
  known: ComponentChildren[]
  none: string
}

/** What stands beside a form about a file. */
export function FileBeside({ file, known, none }: BesideProps) {
  return (
    <>
      <div class="side-figure">
        <FileDrawing file={{ ...file, face: null }} />
      </div>
      {known.length === 0 ? (
        <p class="quiet">{none}</p>
      ) : (
        <>
          <h2 class="side-heading">Known already</h2>
          <ul class="side-lines">
            {known.map((line, index) => (
              <li key={index}>{line}</li>
            ))}
          </ul>
        </>
      )}
    </>
  )
}
