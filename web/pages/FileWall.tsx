import type { ComponentChildren } from 'preact'
import { Shadow, scaleFor } from '../parts/shadow.tsx'
import { type FileRow, figureOf, sculptorWords, UnitLinks } from './FileRows.tsx'

/** A figure that is wider than its place takes two. */
const placePx = 144
const room = { heightPx: 240, widthPx: 2 * placePx }
/** So that a shelf of small figures alone is not blown up. */
const mostPxPerMm = 2.2

/** Pixels a millimetre at which all figures of a wall find room, at one scale. */
export const fileWallScale = (files: FileRow[]): number => Math.min(mostPxPerMm, scaleFor(files.map(figureOf), room))

interface Props {
  /** What the list is of, for those who hear the page. */
  label: string
  files: FileRow[]
  /** The one scale that their figures are drawn to. */
  pxPerMm: number
  /** Said of each: who made it; not where all are by one. */
  by?: boolean
  /** What can be done with each. */
  act?: (file: FileRow) => ComponentChildren
}

/** Files as figures on a shelf, all at one scale, with what each is and stands in for beneath. */
export function FileWall({ label, files, pxPerMm, by = true, act }: Props) {
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
              {by && <p class="quiet">{sculptorWords(file.sculptor)}</p>}
              <p class="quiet">
                {file.units.length > 0 ? (
                  <>
                    for <UnitLinks units={file.units} />
                  </>
                ) : (
                  'for no unit yet'
                )}
              </p>
              {act?.(file)}
            </div>
          </li>
        )
      })}
    </ul>
  )
}

const small = { heightPx: 96, widthPx: 150 }

/** Pixels a millimetre at which all figures of some rows find room in them. */
export const figureRowScale = (files: FileRow[]): number => Math.min(mostPxPerMm, scaleFor(files.map(figureOf), small))

/** Figures beside each other on one line, small; who they are is said beside them. */
export function FigureRow({ files, pxPerMm }: { files: FileRow[]; pxPerMm: number }) {
  return (
    <span class="figure-row">
      {files.map((file) => (
        <Shadow key={file.id} figure={figureOf(file)} pxPerMm={pxPerMm} />
      ))}
    </span>
  )
}
