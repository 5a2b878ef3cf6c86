import { Button, ButtonLink } from '../parts/button.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { TextField } from '../parts/field.tsx'
import { Form } from '../parts/form.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { Pager } from '../parts/pager.tsx'
import { Section } from '../parts/section.tsx'
import { type FileRow, sculptorWords, UnitLinks } from './FileRows.tsx'

interface Membership {
  id: string
  title: string
  price: MoneyValue
  files: { id: string; title: string }[]
}

interface Props {
  archive: FileRow[]
  next: string | null
  /** What was looked for, to add it. */
  q: string
  found: (FileRow & { inArchive: boolean })[]
  running: Membership[]
  /** Memberships that the group knows and the member does not pay for. */
  others: Membership[]
}

/** What the member has already: its price counts as 0 for them. */
export function MyFiles({ archive, next, q, found, running, others }: Props) {
  return (
    <>
      <Section heading="Files in my archive" id="files">
        {archive.length === 0 ? (
          <EmptyState words="Nothing yet. Look up what you have: its price then counts as 0 for you." />
        ) : (
          <DataTable caption="Files in my archive" captionHidden rows={archive} rowKey={idOf} columns={mine} />
        )}
        <Pager href={next} />
        <Form action="/archive" method="get" class="search" id="look" label="Add a file" values={{ q }}>
          <TextField optional type="search" name="q" label="I have another: title or sculptor" />
          <Button>Look up</Button>
        </Form>
        {q && <Found q={q} found={found} />}
      </Section>
      <Section heading="Memberships that I pay for" id="memberships">
        <p class="hint">What a membership opens costs you nothing more while you pay for it.</p>
        {running.length === 0 ? (
          <EmptyState words="None noted." />
        ) : (
          <DataTable
            caption="My memberships"
            captionHidden
            rows={running}
            rowKey={idOf}
            columns={membershipsOf(true)}
          />
        )}
        {others.length > 0 && (
          <>
            <h3>Others that the group knows</h3>
            <DataTable caption="Memberships" captionHidden rows={others} rowKey={idOf} columns={membershipsOf(false)} />
          </>
        )}
      </Section>
    </>
  )
}

const idOf = (row: { id: string }) => row.id

function Found({ q, found }: { q: string; found: Props['found'] }) {
  if (found.length === 0) {
    return (
      <EmptyState words={`No file is called anything like “${q}”.`}>
        <ButtonLink href={`/files/new?title=${encodeURIComponent(q)}`}>Add a file</ButtonLink>
      </EmptyState>
    )
  }
  return (
    <DataTable
      caption={`Files like “${q}”`}
      rows={found}
      rowKey={idOf}
      columns={[
        fileColumn,
        {
          label: 'Have it?',
          cell: (file) => (
            <ArchiveButton
              fileId={file.id}
              title={file.title}
              inArchive={file.inArchive}
              back="/archive"
              list="found"
            />
          ),
        },
      ]}
    />
  )
}

const fileColumn = {
  label: 'File',
  head: true,
  cell: (file: FileRow) => (
    <>
      <a href={`/files/${file.id}`}>{file.title}</a> <small>{sculptorWords(file.sculptor)}</small>
    </>
  ),
}

const mine = [
  fileColumn,
  {
    label: 'Stands in for',
    cell: (file: FileRow) => (file.units.length > 0 ? <UnitLinks units={file.units} /> : 'no unit yet'),
  },
  {
    label: 'In the archive',
    cell: (file: FileRow) => <ArchiveButton fileId={file.id} title={file.title} inArchive back="/archive" />,
  },
]

interface ArchiveButtonProps {
  fileId: string
  title: string
  inArchive: boolean
  /** Address of the page that the button leads back to. */
  back: string
  /** Names the list where a page has the button for the same file in several. */
  list?: string
}

/** Puts a file into the member's archive or takes it out. */
export function ArchiveButton({ fileId, title, inArchive, back, list = 'archive' }: ArchiveButtonProps) {
  const action = `/archive/${fileId}/${inArchive ? 'take-out' : 'keep'}`
  return (
    <Form class="inline" action={action} id={`${list}-${fileId}`} hidden={{ back }}>
      <Button label={inArchive ? `Take out of my archive: ${title}` : `I have it: ${title}`}>
        {inArchive ? 'Take out of my archive' : 'I have it'}
      </Button>
    </Form>
  )
}

/** Notes that the member pays for a membership, or no longer does. */
export function MembershipButton({
  offerId,
  title,
  runs,
  back,
}: {
  offerId: string
  title: string
  runs: boolean
  back: string
}) {
  const action = `/memberships/${offerId}/${runs ? 'end' : 'start'}`
  return (
    <Form class="inline" action={action} id={`membership-${offerId}`} hidden={{ back }}>
      <Button label={runs ? `I no longer pay for it: ${title}` : `I pay for it: ${title}`}>
        {runs ? 'I no longer pay for it' : 'I pay for it'}
      </Button>
    </Form>
  )
}

const membershipsOf = (runs: boolean) => [
  {
    label: 'Membership',
    head: true,
    cell: (offer: Membership) => <a href={`/offers/${offer.id}`}>{membershipName(offer)}</a>,
  },
  {
    label: 'A month',
    figures: true,
    cell: (offer: Membership) => <Money value={offer.price} />,
  },
  { label: 'Opens', figures: true, cell: (offer: Membership) => filesWords(offer.files.length) },
  {
    label: 'Mine?',
    cell: (offer: Membership) => (
      <MembershipButton offerId={offer.id} title={membershipName(offer)} runs={runs} back="/archive" />
    ),
  },
]

const filesWords = (files: number) => (files === 1 ? '1 file' : `${files} files`)

/** Its title, or the first of the files that it opens. */
const membershipName = ({ title, files }: Membership) => title || `Membership for ${files[0]?.title ?? 'files'}`
