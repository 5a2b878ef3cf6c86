import type { ComponentChildren } from 'preact'
import { type Base, baseWords } from '../parts/base.ts'
import { AsTable, ButtonLink, EmptyState, LinkList, Pager } from '../parts/blocks.tsx'
import { LookUp } from '../parts/button-form.tsx'
import type { FigureShadow } from '../parts/outline.ts'
import { type FigureSize, Shadow, scaleFor } from '../parts/shadow.tsx'

interface Props {
  files: FileRow[]
  /** The one scale that their figures are drawn to. */
  pxPerMm: number
  /** Address of the rest of the list. */
  next: string | null
  /** What was looked for; empty for the whole list. */
  q: string
  /** Whose files alone are listed. */
  sculptor: { name: string } | null
}

/** Every file that the group knows, to be looked up by title or sculptor. */
export function Files({ files, pxPerMm, next, q, sculptor }: Props) {
  const add = `/files/new${q && `?title=${encodeURIComponent(q)}`}`
  return (
    <>
      <LookUp action="/files" label="Look a file up" words="Title or sculptor; near enough will do" q={q} />
      {sculptor && (
        <p>
          <a href="/files">Show all files</a>, or all <a href="/sculptors">sculptors</a>.
        </p>
      )}
      {files.length === 0 ? (
        <EmptyState words={q ? `No file is called anything like “${q}”.` : 'No files yet.'}>
          <ButtonLink href={add}>Add a file</ButtonLink>
        </EmptyState>
      ) : (
        <>
          <FileRows files={files} pxPerMm={pxPerMm} />
          <Pager href={next} />
          <p>
            Not there? <a href={add}>Add a file</a>.
            {!sculptor && (
              <>
                {' '}
                See also the <a href="/sculptors">sculptors</a>.
              </>
            )}
          </p>
          <AsTable list="files" />
        </>
      )}
    </>
  )
}

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
            <ForUnits units={file.units} />
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

/** "for Fen Wardens, Bog Carts". */
function ForUnits({ units }: Pick<FileRow, 'units'>) {
  if (units.length === 0) return <>for no unit yet</>
  return (
    <>
      for <LinkList to="units" things={units} />
    </>
  )
}

/** A figure that is wider than its place takes two. */
const placePx = 144
const room = { heightPx: 240, widthPx: 2 * placePx }
/** So that a shelf of small figures alone is not blown up. */
const mostPxPerMm = 2.2

/** Pixels a millimetre at which all figures of a wall find room, at one scale. */
export const fileWallScale = (files: FileRow[]): number => Math.min(mostPxPerMm, scaleFor(files.map(figureOf), room))

interface WallProps {
  /** What the list is of, for those who hear the page. */
  label: string
  files: FileRow[]
  /** The one scale that their figures are drawn to. */
  pxPerMm: number
  /** What can be done with each. */
  act: (file: FileRow) => ComponentChildren
}

/** Files as figures on a shelf, all at one scale, with what each is and stands in for beneath. */
export function FileWall({ label, files, pxPerMm, act }: WallProps) {
  return (
    <ul class="wall" aria-label={label}>
      {files.map((file) => {
        const figure = figureOf(file)
        const isWide = scaleFor([figure], { ...room, widthPx: placePx }) < pxPerMm
        return (
          <li key={file.id} class={isWide ? 'file-place file-place-wide' : 'file-place'}>
            <div class="stand-in-figure">
              <Shadow figure={figure} pxPerMm={pxPerMm} />
            </div>
            <div class="stand-in-words">
              <p class="file-name">
                <a href={`/files/${file.id}`}>{file.title}</a>
              </p>
              <p class="quiet">{sculptorWords(file.sculptor)}</p>
              <p class="quiet">
                <ForUnits units={file.units} />
              </p>
              {act(file)}
            </div>
          </li>
        )
      })}
    </ul>
  )
}
