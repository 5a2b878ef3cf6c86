import { type Base, baseWords } from '../parts/base.ts'
import type { FigureShadow } from '../parts/outline.ts'
import { type FigureSize, Shadow, scaleFor } from '../parts/shadow.tsx'

export interface FileRow {
  id: string
  title: string
  /** No name where the sculptor asked for none, and the reader is no steward. */
  sculptor: { name: string | null }
  units: { id: string; name: string }[]
  scaleMm: number | null
  base: Base | null
  heightMm: number | null
  /** Null while nobody has measured it. */
  shadow: FigureShadow | null
  resinMl: number | null
  options: string[]
}

// A line of text and a half: the tallest of a list is drawn so tall.
const place = { heightPx: 44, widthPx: 60 }
/** What a figure is drawn as tall as where nobody noted its scale. */
const usualScaleMm = 28

/** What a file is drawn by, whatever it stands in for. */
export const figureOf = ({
  shadow,
  heightMm,
  base,
  scaleMm,
}: Pick<FileRow, 'shadow' | 'heightMm' | 'base' | 'scaleMm'>): FigureSize => ({
  shadow,
  heightMm,
  base,
  scaleMm: scaleMm ?? usualScaleMm,
})

/** Pixels a millimetre at which all figures of a list find room in its lines. */
export const rowScale = (files: FileRow[]): number => scaleFor(files.map(figureOf), place)

/** Files close-set: the shadow at one scale, title and sculptor, what it stands in for. */
export function FileRows({ files, pxPerMm }: { files: FileRow[]; pxPerMm: number }) {
  return (
    <ul class="rows rows-units">
      {files.map((file) => (
        <li key={file.id}>
          <span class="row-drawing">
            <Shadow figure={figureOf(file)} pxPerMm={pxPerMm} />
          </span>
          <a class="row-name" href={`/files/${file.id}`}>
            {file.title}
          </a>
          <span class="row-note">
            {sculptorWords(file.sculptor)}
            <span class="row-detail">{facts(file).map((fact) => `; ${fact}`)}</span>
          </span>
          <span class="row-far row-note">
            {file.units.length > 0 ? (
              <>
                for <UnitLinks units={file.units} />
              </>
            ) : (
              'for no unit yet'
            )}
          </span>
        </li>
      ))}
    </ul>
  )
}

/** "28 mm, 25 mm round", "9.5 ml a copy", "comes with bows", as far as it is known. */
function facts({ scaleMm, base, resinMl, options }: FileRow): string[] {
  const size = [scaleMm && `${scaleMm} mm`, base && baseWords(base)].filter(Boolean).join(', ')
  return [size, resinMl && `${resinMl} ml a copy`, options.length > 0 && `comes with ${options.join(', ')}`].filter(
    (fact) => typeof fact === 'string' && fact !== '',
  ) as string[]
}

/** "by Tilda Vorn", or that the sculptor wants no name. */
export const sculptorWords = ({ name }: { name: string | null }) =>
  name === null ? 'The sculptor asked not to be named' : `by ${name}`

export function UnitLinks({ units }: { units: { id: string; name: string }[] }) {
  return (
    <>
      {units.map(({ id, name }, index) => (
        <>
          {index > 0 && ', '}
          <a href={`/units/${id}`}>{name}</a>
        </>
      ))}
    </>
  )
}
