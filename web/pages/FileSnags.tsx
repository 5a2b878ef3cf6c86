import { Fragment } from 'preact'
import { Actions, ButtonLink, ChangeLink, EmptyState, Section } from '../parts/blocks.tsx'
import { severityWords, stateWords } from '../parts/snag-words.ts'
import type { ShownRevision } from './FileSets.tsx'

export interface ShownSnag {
  id: string
  revisionId: string
  kind: string
  severity: 'stops the print' | 'costs time' | 'only looks'
  part: string
  minutes: number | null
  detail: string
  state: 'open' | 'the sculptor knows' | 'mended'
  mendedInRevisionId: string | null
  createdBy: { name: string }
  mayChange: boolean
}

interface Props {
  fileId: string
  snags: ShownSnag[]
  revisions: ShownRevision[]
}

/** What is wrong with a file, what to do about it, and in which revision it was mended. */
export function FileSnags({ fileId, snags, revisions }: Props) {
  const add = `/files/${fileId}/snags/new`
  const labels = new Map(revisions.map(({ id, label }) => [id, label]))
  return (
    <Section heading="Snags" id="snags">
      {snags.length === 0 ? (
        <EmptyState words="No snag is known. If you met one, write it down for the next member.">
          <ButtonLink href={add}>Write a snag down</ButtonLink>
        </EmptyState>
      ) : (
        <>
          <ul class="snags">
            {snags.map((snag) => (
              <li key={snag.id} class={snag.state === 'mended' ? 'snag snag-mended' : 'snag snag-open'}>
                <Snag snag={snag} labels={labels} />
              </li>
            ))}
          </ul>
          <Actions>
            <ButtonLink href={add}>Write a snag down</ButtonLink>
          </Actions>
        </>
      )}
    </Section>
  )
}

function Snag({ snag, labels }: { snag: ShownSnag; labels: Map<string, string> }) {
  const mendedIn = labels.get(snag.mendedInRevisionId ?? '')
  return (
    <>
      <p>
        <strong>
          {severityWords(snag)}:{' '}
          <ChangeLink href={snag.mayChange && `/snags/${snag.id}/edit`} what="the snag">
            {snag.part ? `${snag.kind}, ${snag.part}` : snag.kind}
          </ChangeLink>
        </strong>
      </p>
      {snag.detail && <Words text={snag.detail} />}
      <p class="quiet">
        Found in revision {labels.get(snag.revisionId)} by {snag.createdBy.name}; {stateWords({ ...snag, mendedIn })}.
      </p>
    </>
  )
}

/** Text of several lines, as it was typed. */
export function Words({ text }: { text: string }) {
  return (
    <p>
      {text.split('\n').map((line, index) => (
        <Fragment key={index}>
          {index > 0 && <br />}
          {line}
        </Fragment>
      ))}
    </p>
  )
}
