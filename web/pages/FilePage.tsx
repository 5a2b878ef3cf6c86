import { Actions, ButtonLink, Caution, Disclosure, EmptyState, OnThisPage, Section } from '../parts/blocks.tsx'
import { Press } from '../parts/button-form.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { PictureRow, type ShownPicture } from '../parts/picture.tsx'
import { FileChances, type FileChancesProps } from './FileChances.tsx'
import type { TableSum } from './FileHead.tsx'
import { FileLabel, type Labelled, type LabelProps } from './FileLabel.tsx'
import { FileOffers } from './FileOffers.tsx'
import { FileRevisions, type PrintsProps } from './FileRevisions.tsx'
import { FileSnags, type ShownSnag } from './FileSnags.tsx'
import { ArchiveButton } from './MyFiles.tsx'
import type { ShownOffer } from './Offer.tsx'
import { cameOutColumn, failuresWords, printedOnColumn, type ReportRow } from './ReportTable.tsx'

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

interface ShownReport extends Omit<ReportRow, 'file'> {
  printer: { name: string }
  remark: string
}

interface ReportsProps {
  fileId: string
  /** The latest prints first. */
  reports: ShownReport[]
  more: boolean
}

/** So many reports stand open: on a phone each takes several lines. */
const seenAtOnce = 4

/** How members' own prints of a file came out. */
function FileReports({ fileId, reports, more }: ReportsProps) {
  // One hidden alone would be more to press than to read.
  const seen = reports.length <= seenAtOnce + 1 ? reports.length : seenAtOnce
  const [latest, older] = [reports.slice(0, seen), reports.slice(seen)]
  return (
    <Section heading="Reports" id="reports">
      {reports.length === 0 ? (
        <EmptyState words="Nobody has reported a print of it yet.">
          <a href={`/reports/new?fileId=${fileId}`}>Report a print</a>
        </EmptyState>
      ) : (
        <>
          <DataTable
            caption={more || older.length > 0 ? `The latest ${latest.length} reports` : 'All reports'}
            rows={latest}
            rowKey={({ id }) => id}
            columns={columns}
          />
          {older.length > 0 && (
            <Disclosure summary={`${older.length} before them`}>
              <DataTable caption="Older reports" captionHidden rows={older} rowKey={({ id }) => id} columns={columns} />
            </Disclosure>
          )}
        </>
      )}
    </Section>
  )
}

const columns = [
  printedOnColumn,
  cameOutColumn,
  {
    label: 'Seen on the failed ones',
    cell: ({ failures }: ShownReport) => failures.length > 0 && failuresWords(failures),
  },
  {
    label: 'Supports',
    cell: ({ supportSet }: ShownReport) => (
      <>
        {supportSet.kind} <small>of {supportSet.revision}</small>
      </>
    ),
  },
  {
    label: 'Where',
    cell: (report: ShownReport) => `${report.printer.name} (${report.member.name}’s), ${report.crowding}`,
  },
]

interface FilePicture extends ShownPicture {
  id: string
  reportId: string | null
  member: { name: string }
  isFace: boolean
  mayChange: boolean
}

interface PicturesProps {
  fileId: string
  /** The newest first. */
  pictures: FilePicture[]
  /** What makes each choice of a face one; left out where the reader may not choose. */
  choosing?: Record<string, string> | undefined
}

/** Members' own prints of a file, of which there are some. */
function FilePictures({ fileId, pictures, choosing }: PicturesProps) {
  const add = `/files/${fileId}/pictures/new`
  return (
    <Section heading="Pictures" id="pictures">
      <PictureRow
        pictures={pictures}
        caption={(picture) => <About fileId={fileId} picture={picture} choosing={choosing} />}
      />
      <Actions>
        <ButtonLink href={add}>Add a picture</ButtonLink>
      </Actions>
    </Section>
  )
}

/** What there is to say of the one picture, which stands at the head already. */
function OnlyPicture({ fileId, picture, choosing }: AboutProps) {
  return (
    <div class="picture-only" id="pictures">
      <div>
        <About fileId={fileId} picture={picture} choosing={picture.isFace ? choosing : undefined} />
      </div>
      <ButtonLink href={`/files/${fileId}/pictures/new`}>Add a picture</ButtonLink>
    </div>
  )
}

type AboutProps = Pick<PicturesProps, 'fileId' | 'choosing'> & { picture: FilePicture }

function About({ fileId, picture, choosing }: AboutProps) {
  const { id, reportId, member, isFace, mayChange, alt } = picture
  return (
    <>
      {reportId === null ? member.name : <a href={`/reports/${reportId}`}>{member.name}’s print</a>}
      {mayChange && (
        <>
          {', '}
          <a href={`/pictures/${id}/edit`} aria-label={`change the picture: ${alt}`}>
            change
          </a>
        </>
      )}
      {', '}
      <a href={`/pictures/${id}/base`} aria-label={`does it fit the base? ${alt}`}>
        does it fit the base?
      </a>
      {choosing && (
        <Press
          class="form"
          action={`/files/${fileId}/face`}
          id={`face-${id}`}
          hidden={{ ...choosing, pictureId: isFace ? '' : id }}
          button={isFace ? 'Show the newest in lists' : 'Show it in lists'}
          label={`${isFace ? 'Show the newest in lists' : 'Show it in lists'}: ${alt}`}
        />
      )}
    </>
  )
}
