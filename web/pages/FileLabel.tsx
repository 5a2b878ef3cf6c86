import { listed, onBases } from '../parts/answer-words.ts'
import { type Base, baseMisfit } from '../parts/base.ts'
import { ChangeLink } from '../parts/blocks.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { type MeasureNumbers, resinOf, sizeWords, supportsWords, widestWords } from '../parts/measure-words.ts'
import { capital } from '../parts/member-words.ts'
import { Words } from './FileSnags.tsx'
import type { FileRow } from './Files.tsx'

export interface Labelled extends Pick<FileRow, 'id' | 'scaleMm' | 'base' | 'heightMm' | 'resinMl' | 'options'> {
  formats: string[]
  styleTags: string[]
  licence: string
  remark: string
  createdBy: { name: string }
  units: { id: string; name: string; base: Base | null }[]
}

export interface LabelProps {
  file: Labelled
  mayChange: boolean
  resinMlPerModel: number
  /** Its resin is what was measured without supports. */
  isResinBare: boolean
  measured: AsMeasured | null
  /** The newest revision, to be measured; null while none is known. */
  newest: { id: string } | null
}

/** What is written beside a figure's shadow: how large it is, what it stands on, what it takes and comes with. */
export function FileLabel({ file, mayChange, measured, newest, ...resin }: LabelProps) {
  return (
    <div class="file-label">
      <p>
        <ChangeLink href={mayChange && `/files/${file.id}/edit`} what="the file">
          {sizeOf(file, measured !== null)}
        </ChangeLink>
        {'. '}
        {fitWords(file)}
        {resinWords({ resinMl: file.resinMl, ...resin })} {withWords(file)}
      </p>
      <FileMeasured measured={measured} newest={newest} />
      {file.remark && <Words text={file.remark} />}
      <p class="quiet">
        {file.licence && `Licence: ${file.licence}. `}
        Added by {file.createdBy.name}.
      </p>
    </div>
  )
}

/** "28 mm, on a 25 mm round, 46 mm tall"; how tall a measured one is is told with its other measures. */
function sizeOf({ scaleMm, base, heightMm }: Labelled, isMeasured: boolean): string {
  const known = [
    scaleMm && `${scaleMm} mm`,
    base && onBases(base, false),
    !isMeasured && heightMm && `${heightMm} mm tall`,
  ]
  return known.filter(Boolean).join(', ') || 'Nobody has noted its size or base'
}

/** "The base of Fen Wardens. 7 mm too large for Bog Carts.", each unit in turn, as far as both bases are known. */
function fitWords({ base, units }: Labelled): string {
  const known = units.filter((unit) => base !== null && unit.base !== null)
  return known
    .map(({ name, base: wanted }) => {
      const misfit = baseMisfit(base, wanted)
      return misfit ? `As a base for ${name} it is ${misfit}. ` : `It fits the base of ${name}. `
    })
    .join('')
}

/** "Takes 8.5 ml a copy, supports included." */
function resinWords({
  resinMl,
  isResinBare,
  resinMlPerModel,
}: Pick<Labelled, 'resinMl'> & Pick<LabelProps, 'isResinBare' | 'resinMlPerModel'>): string {
  return resinMl === null
    ? `How much resin it takes is not known; ${resinMlPerModel} ml a copy is assumed.`
    : `Takes ${resinMl} ml a copy, ${isResinBare ? 'as measured without supports' : 'supports included'}.`
}

/** "Comes with bows and a banner, as stl or slicer project; folk, weathered." */
function withWords({ options, formats, styleTags }: Labelled): string {
  const comes = [
    options.length > 0 && `with ${listed(options)}`,
    formats.length > 0 && `as ${listed(formats, 'or')}`,
  ].filter(Boolean)
  const words = [comes.length > 0 && `comes ${comes.join(', ')}`, styleTags.join(', ')].filter(Boolean).join('; ')
  return words && `${capital(words)}.`
}

/** The measure that a file is drawn by, or the newest where none has an outline. */
export interface AsMeasured extends MeasureNumbers {
  revision: { id: string; label: string }
  /** What kind of supports it was measured with; null: as it was sculpted. */
  supports: string | null
  by: string
  at: string
}

/** The label beside a figure's shadow: what was measured, when and by whom. */
function FileMeasured({ measured, newest }: Pick<LabelProps, 'measured' | 'newest'>) {
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
