import { Actions, Caution, OnThisPage } from '../parts/blocks.tsx'
import { FileChances, type FileChancesProps } from './FileChances.tsx'
import type { TableSum } from './FileHead.tsx'
import { FileLabel, type Labelled, type LabelProps } from './FileLabel.tsx'
import { FileOffers } from './FileOffers.tsx'
import { type FilePicture, FilePictures, OnlyPicture } from './FilePictures.tsx'
import { FileReports, type ShownReport } from './FileReports.tsx'
import { FileRevisions, type PrintsProps } from './FileRevisions.tsx'
import { FileSnags, type ShownSnag } from './FileSnags.tsx'
import { ArchiveButton } from './MyFiles.tsx'
import type { ShownOffer } from './Offer.tsx'

interface Props extends Omit<PrintsProps, 'fileId'>, Omit<LabelProps, 'newest'> {
  file: Labelled & {
    title: string
    face: { large: { src: string } } | null
    sculptor: { id: string | null; name: string | null; credit: 'named' | 'unnamed' }
    inArchive: boolean
  }
  sum: TableSum | null
  offers: ShownOffer[]
  snags: ShownSnag[]
  reports: ShownReport[]
  /** There are more reports than are shown. */
  moreReports: boolean
  /** The newest first. */
  pictures: FilePicture[]
  choosing?: Record<string, string> | undefined
  chances: FileChancesProps
}

const places = [
  ['#offers', 'How to get it'],
  ['#revisions', 'Does it print?'],
  ['#snags', 'Snags'],
  ['#chances', 'On my printer'],
  ['#reports', 'Reports'],
] as const

/** All that the group knows about a file: how to get it, whether it prints, what is wrong with it. */
export function FilePage(props: Props) {
  const { file, snags, revisions, lines, months, pictures } = props
  const here = `/files/${file.id}`
  const [first] = pictures
  const onlyFace = pictures.length === 1 && first?.large.src === file.face?.large.src ? first : null
  return (
    <>
      <div class="file-beside">
        <FileLabel {...props} newest={revisions.at(-1) ?? null} />
        <div class="file-acts">
          <Actions>
            <ArchiveButton fileId={file.id} title={file.title} inArchive={file.inArchive} back={here} />
          </Actions>
          {pictures.length === 0 && (
            <p id="pictures">
              No picture yet. Printed it? <a href={`${here}/pictures/new`}>Show it</a>.
            </p>
          )}
          {onlyFace && <OnlyPicture fileId={file.id} picture={onlyFace} choosing={props.choosing} />}
        </div>
      </div>
      <OnThisPage places={places} />
      {pictures.length > 0 && !onlyFace && (
        <FilePictures fileId={file.id} pictures={pictures} choosing={props.choosing} />
      )}
      <FileOffers file={file} offers={props.offers} sum={props.sum} />
      <FileRevisions fileId={file.id} revisions={revisions} lines={lines} months={months} />
      <FileSnags fileId={file.id} snags={snags} revisions={revisions} />
      <FileChances {...props.chances} />
      <FileReports fileId={file.id} reports={props.reports} more={props.moreReports} />
      <Caution />
      <p class="quiet">
        For personal use within the licence of its sculptor. No model files are kept or passed on here.
      </p>
    </>
  )
}
