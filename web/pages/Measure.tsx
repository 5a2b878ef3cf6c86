import { Actions, Button } from '../parts/button.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { NumberField, TextField } from '../parts/field.tsx'
import { Form, type FormState } from '../parts/form.tsx'
import { Section } from '../parts/section.tsx'
import { FilesToMeasure } from './MeasureFiles.tsx'
import { type Known, MeasureFound, type Resize, type ShownMeasure } from './MeasureFound.tsx'

/** A measure with what is told beside its numbers. */
export interface Told {
  measure: ShownMeasure
  known: Known | null
  resizes: Resize[]
}

export interface MeasureProps {
  file: { id: string; title: string }
  revision: { id: string; label: string }
  /** What kind of supports it is measured with; null: as it was sculpted. */
  supports: { id: string; kind: string } | null
  /** Address of the script that measures. */
  worker: string
  /** Scale that the figure is made for, where it is known. */
  scaleMm: number | null
  kept: (Told & { by: string; at: string; mayRemove: boolean }) | null
  found:
    | (Told & {
        /** As it is sent on. */
        text: string
      })
    | null
  typed: FormState
  once: string
}

/** Measures a revision, as it was sculpted or with its supports, and keeps the numbers. */
export function Measure(props: MeasureProps) {
  const { file, kept, found, supports } = props
  const snagForm = `/files/${file.id}/snags/new?revisionId=${props.revision.id}`
  const with_ = { supports: supports?.kind ?? null, snagForm }
  return (
    <>
      <p class="lead">
        Your browser reads the file and measures it. Nothing but the numbers leaves it; the file itself is never sent.
      </p>
      {found && (
        <Section heading="What was found" id="found">
          <MeasureFound {...found} {...with_} />
          <Keep {...props} />
        </Section>
      )}
      {kept && !found && (
        <Section heading="As measured" id="kept">
          <MeasureFound {...kept} {...with_} />
          <p class="quiet">
            By {kept.by}, <DateWords on={kept.at} as="distance" />.
          </p>
          {kept.mayRemove && <Remove {...props} />}
        </Section>
      )}
      <FilesToMeasure
        action={address(props, '/found')}
        worker={props.worker}
        scaleMm={props.scaleMm}
        supported={supports !== null}
        again={found !== null || kept !== null}
      />
      <ByHand {...props} />
      <p>
        <a href={`/files/${file.id}#revisions`}>Back to {file.title}</a>
      </p>
    </>
  )
}

const address = ({ revision, supports }: Pick<MeasureProps, 'revision' | 'supports'>, step = '', id = revision.id) =>
  `/revisions/${id}/measure${step}${supports ? `?supports=${supports.id}` : ''}`

function Keep(props: MeasureProps) {
  const { found, revision, once } = props
  if (!found) return null
  const { text, known } = found
  const isTaken = props.kept !== null && !props.kept.mayRemove && props.kept.measure.front !== null
  const another = known?.is === 'another' && props.supports === null ? known : null
  const isStrange = known !== null && known.is !== 'this'
  return (
    <>
      {another && (
        <Form
          id="other"
          class="plain-form"
          action={address(props, '', another.revisionId)}
          hidden={{ measured: text, once: `${once}-other` }}
        >
          <Button main>Keep it with {another.label}</Button>
        </Form>
      )}
      {isTaken ? (
        <p>{props.kept?.by} has measured it before; only they or a steward can replace those numbers.</p>
      ) : (
        <Form id="keep" class="plain-form" action={address(props)} hidden={{ measured: text, once }}>
          <Button main={!another}>
            {isStrange ? `Keep it with ${revision.label} all the same` : 'Keep these numbers'}
          </Button>
        </Form>
      )}
      {isStrange && (
        <Disclosure summary="It is a new revision">
          <Form id="new" action={address(props)} hidden={{ measured: text, once: `${once}-new` }}>
            <TextField
              name="label"
              label="Label of the new revision"
              hint="As the sculptor calls it, or your own word."
            />
            <Button>Add the revision, and keep these numbers with it</Button>
          </Form>
        </Disclosure>
      )}
    </>
  )
}

function Remove(props: MeasureProps) {
  return (
    <Form id="remove" class="plain-form" action={address(props, '/remove')} hidden={{ once: `${props.once}-remove` }}>
      <Button>Remove this measure</Button>
    </Form>
  )
}

/** For who has no script, or has the numbers from elsewhere. */
function ByHand(props: MeasureProps) {
  const { typed, once } = props
  const isRefused = Object.keys(typed.errors).length > 0
  return (
    <Disclosure summary="Type the numbers instead" open={isRefused}>
      <Form id="typed" action={address(props)} hidden={{ once: `${once}-typed` }} {...typed}>
        <ErrorSummary />
        <p class="hint">
          Your machine’s software shows them. A shadow can’t be typed: that needs a script in your browser.
        </p>
        <NumberField name="widthMm" label="Width" unit="mm" hint="From left to right, seen from the front." />
        <NumberField name="depthMm" label="Depth" unit="mm" hint="From front to back." />
        <NumberField name="heightMm" label="Height" unit="mm" />
        <NumberField optional name="volumeMl" label="Volume" unit="ml" />
        <Actions>
          <Button>Keep what I typed</Button>
        </Actions>
      </Form>
    </Disclosure>
  )
}
