import { ButtonLink, EmptyState, Pager, Section } from '../parts/blocks.tsx'
import { LookUp, Press } from '../parts/button-form.tsx'
import { type MoneyValue, Sum } from '../parts/money.tsx'
import { counted } from '../parts/numbers.ts'
import { type FileRow, FileWall } from './Files.tsx'

interface Membership {
  id: string
  title: string
  price: MoneyValue
  minMonths: number | null
  files: { id: string; title: string }[]
}

interface Props {
  archive: FileRow[]
  /** The one scale that the figures on the shelf are drawn to. */
  pxPerMm: number
  next: string | null
  /** What was looked for, to add it. */
  q: string
  found: (FileRow & { inArchive: boolean })[]
  running: Membership[]
  /** Memberships that the group knows and the member does not pay for. */
  others: Membership[]
}

/** What the member has already, on a shelf: its price counts as 0 for them. */
export function MyFiles({ archive, pxPerMm, next, q, found, running, others }: Props) {
  return (
    <>
      <Section heading="Files in my archive" id="files">
        <LookUp action="/archive" label="Add a file" words="I have another: title or sculptor" q={q} id="look" />
        {q && <Found q={q} found={found} pxPerMm={pxPerMm} />}
        {archive.length === 0 ? (
          <EmptyState words="Nothing yet. Look up what you have: its price then counts as 0 for you." />
        ) : (
          <FileWall
            label="Files in my archive"
            files={archive}
            pxPerMm={pxPerMm}
            act={({ id, title }) => <ArchiveButton fileId={id} title={title} inArchive back="/archive" />}
          />
        )}
        <Pager href={next} />
      </Section>
      <Section heading="Memberships that I pay for" id="memberships">
        <p class="hint">What a membership opens costs you nothing more while you pay for it.</p>
        {running.length === 0 ? <EmptyState words="None noted." /> : <Memberships memberships={running} runs />}
        {others.length > 0 && (
          <>
            <h3>Others that the group knows</h3>
            <Memberships memberships={others} runs={false} />
          </>
        )}
      </Section>
    </>
  )
}

function Found({ q, found, pxPerMm }: Pick<Props, 'q' | 'found' | 'pxPerMm'>) {
  if (found.length === 0) {
    return (
      <EmptyState words={`No file is called anything like “${q}”.`}>
        <ButtonLink href={`/files/new?title=${encodeURIComponent(q)}`}>Add a file</ButtonLink>
      </EmptyState>
    )
  }
  const has = new Set(found.filter(({ inArchive }) => inArchive).map(({ id }) => id))
  return (
    <>
      <h3>Files like “{q}”</h3>
      <FileWall
        label={`Files like “${q}”`}
        files={found}
        pxPerMm={pxPerMm}
        act={({ id, title }) => (
          <ArchiveButton fileId={id} title={title} inArchive={has.has(id)} back="/archive" list="found" />
        )}
      />
    </>
  )
}

interface MembershipsProps {
  memberships: Membership[]
  /** The reader pays for them. */
  runs: boolean
}

/** Memberships close-set: what each opens, and at the far side what it costs a month. */
function Memberships({ memberships, runs }: MembershipsProps) {
  return (
    <ul class="offer-rows">
      {memberships.map((one) => (
        <li key={one.id}>
          <div>
            <a class="offer-name" href={`/offers/${one.id}`}>
              {membershipName(one)}
            </a>
            <p class="quiet">{opensWords(one)}</p>
            <MembershipButton offerId={one.id} title={membershipName(one)} runs={runs} back="/archive" />
          </div>
          <p class="offer-price">
            <Sum value={one.price} />
            <small> a month</small>
          </p>
        </li>
      ))}
    </ul>
  )
}

/** "opens 3 files, for at least 2 months". */
function opensWords({ files, minMonths }: Membership): string {
  const opens = `opens ${counted(files.length, 'file')}`
  return minMonths && minMonths > 1 ? `${opens}, for at least ${minMonths} months` : opens
}

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
  // On the shelf itself it is said above what it is taken out of.
  const takeOut = back === '/archive' ? 'Take out' : 'Take out of my archive'
  const words = inArchive ? takeOut : 'I have it'
  return (
    <Press action={action} id={`${list}-${fileId}`} hidden={{ back }} button={words} label={`${words}: ${title}`} />
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
  const words = runs ? 'I no longer pay for it' : 'I pay for it'
  return (
    <Press
      action={`/memberships/${offerId}/${runs ? 'end' : 'start'}`}
      id={`membership-${offerId}`}
      hidden={{ back }}
      button={words}
      label={`${words}: ${title}`}
    />
  )
}

/** Its title, or the first of the files that it opens. */
const membershipName = ({ title, files }: Pick<Membership, 'title' | 'files'>) =>
  title || `Membership for ${files[0]?.title ?? 'files'}`
