import type { ComponentChildren } from 'preact'
import { type Base, BaseSize } from '../parts/base-size.tsx'
import { Actions, ButtonLink } from '../parts/button.tsx'
import { Caution } from '../parts/caution.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import type { FigureShadow } from '../parts/outline.ts'
import { Facts, Section } from '../parts/section.tsx'
import { FileChances, type FileChancesProps } from './FileChances.tsx'
import { type AsMeasured, FileMeasured } from './FileMeasured.tsx'
import { type FilePicture, FilePictures } from './FilePictures.tsx'
import { FileReports, type ShownReport } from './FileReports.tsx'
import { FileRevisions, type Line, type ShownRevision } from './FileRevisions.tsx'
import { UnitLinks } from './FileRows.tsx'
import { FileSnags, type ShownSnag, Words } from './FileSnags.tsx'
import { ArchiveButton } from './MyFiles.tsx'
import { OfferTable, type ShownOffer } from './Offer.tsx'

interface Props {
  file: {
    id: string
    title: string
    sculptor: { id: string | null; name: string | null; credit: 'named' | 'unnamed' }
    units: { id: string; name: string }[]
    scaleMm: number | null
    base: Base | null
    heightMm: number | null
    formats: string[]
    options: string[]
    styleTags: string[]
    licence: string
    resinMl: number | null
    remark: string
    createdBy: { name: string }
    inArchive: boolean
    /** Null while nobody has measured it. */
    shadow: FigureShadow | null
  }
  mayChange: boolean
  resinMlPerModel: number
  /** Its resin is what was measured without supports. */
  isResinBare: boolean
  measured: AsMeasured | null
  offers: ShownOffer[]
  /** Oldest first. */
  revisions: ShownRevision[]
  lines: Line[]
  snags: ShownSnag[]
  reports: ShownReport[]
  /** There are more reports than are shown. */
  moreReports: boolean
  /** The newest first. */
  pictures: FilePicture[]
  choosing?: Record<string, string> | undefined
  chances: FileChancesProps
}

/** All that the group knows about a file: how to get it, whether it prints, what is wrong with it. */
export function File(props: Props) {
  const { file, mayChange, snags, revisions } = props
  const here = `/files/${file.id}`
  return (
    <>
      <Actions>
        <ButtonLink main href={`/reports/new?fileId=${file.id}`}>
          Report a print of it
        </ButtonLink>
        <ArchiveButton fileId={file.id} title={file.title} inArchive={file.inArchive} back={here} />
        {mayChange && <a href={`${here}/edit`}>Change the file</a>}
      </Actions>
      {file.inArchive && <p class="quiet">It is in your archive: its price counts as 0 for you.</p>}
      <FileMeasured file={file} measured={props.measured} newest={revisions.at(-1) ?? null} />
      <FileFacts {...props} />
      <FilePictures fileId={file.id} pictures={props.pictures} choosing={props.choosing} />
      <Offers {...props} />
      <FileRevisions fileId={file.id} revisions={revisions} lines={props.lines} />
      <FileChances {...props.chances} />
      <FileSnags fileId={file.id} snags={snags} revisions={revisions} />
      <FileReports fileId={file.id} reports={props.reports} more={props.moreReports} />
      <Caution />
      <p class="quiet">
        For personal use within the licence of its sculptor. No model files are kept or passed on here.
      </p>
    </>
  )
}

function FileFacts({ file, resinMlPerModel, isResinBare }: Pick<Props, 'file' | 'resinMlPerModel' | 'isResinBare'>) {
  const facts: [string, ComponentChildren][] = [
    ['Stands in for', file.units.length > 0 && <UnitLinks units={file.units} />],
    ['Scale', file.scaleMm && `${file.scaleMm} mm`],
    ['Base', file.base && <BaseSize base={file.base} />],
    ['Height', file.heightMm && `${file.heightMm} mm`],
    ['Resin', <Resin key="resin" resinMl={file.resinMl} isBare={isResinBare} assumedMl={resinMlPerModel} />],
    ['Comes with', file.options.join(', ')],
    ['Formats', file.formats.join(', ')],
    ['Style', file.styleTags.join(', ')],
    ['Licence', file.licence],
    ['Added by', file.createdBy.name],
  ]
  return (
    <>
      <Facts facts={facts} />
      {file.remark && <Words text={file.remark} />}
    </>
  )
}

function Resin({ resinMl, isBare, assumedMl }: { resinMl: number | null; isBare: boolean; assumedMl: number }) {
  if (resinMl !== null)
    return <>{`${resinMl} ml a copy, ${isBare ? 'as measured without supports' : 'supports included'}`}</>
  return <>{`not known; ${assumedMl} ml a copy are assumed`}</>
}

function Offers({ file, offers }: Pick<Props, 'file' | 'offers'>) {
  const add = `/files/${file.id}/offers/new`
  const gone = offers.length > 0 && offers.every((offer) => offer.state === 'withdrawn')
  return (
    <Section heading="How to get it" id="offers">
      {file.sculptor.credit === 'unnamed' && <p class="quiet">The sculptor asked not to be named or linked.</p>}
      {gone && !file.inArchive && <p class="hurdle">It can no longer be had: every offer was withdrawn.</p>}
      {offers.length === 0 ? (
        <EmptyState words="Nobody has written down yet how to get it.">
          <ButtonLink href={add}>Add an offer</ButtonLink>
        </EmptyState>
      ) : (
        <>
          <OfferTable offers={offers} back={`/files/${file.id}`} />
          <Actions>
            <ButtonLink href={add}>Add an offer</ButtonLink>
          </Actions>
        </>
      )}
    </Section>
  )
}
