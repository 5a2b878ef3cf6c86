import { Button, Columns, Disclosure, Section } from '../parts/blocks.tsx'
import { FoldedForm, Press } from '../parts/button-form.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { NumberField, TextField } from '../parts/field.tsx'
import { Form, type FormState } from '../parts/form.tsx'
import type { ShownMeasure } from '../parts/measure-words.ts'
import { FilesToMeasure } from './MeasureFiles.tsx'
import { type Known, MeasureFound, type Resize } from './MeasureFound.tsx'

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
          {kept.mayRemove && (
            <Press
              id="remove"
              action={address(props, '/remove')}
              hidden={{ once: `${props.once}-remove` }}
              button="Remove this measure"
            />
          )}
        </Section>
      )}
      <Columns
        main={
          <>
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
        }
        aside={<WhatComes supported={supports !== null} />}
      />
    </>
  )
}

const address = ({ revision, supports }: Pick<MeasureProps, 'revision' | 'supports'>, step = '', id = revision.id) =>
  `/revisions/${id}/measure${step}${supports ? `?supports=${supports.id}` : ''}`

/** From the files to what they are good for, a press a step. */
function WhatComes({ supported }: { supported: boolean }) {
  return (
    <Section heading="How it works">
      <ol class="next-here">
        <li>Choose the files of one figure and press “Measure”.</li>
        <li>
          You see its shadow from three sides, its size, its resin and its widest layer
          {supported && ', and what begins in mid-air'}.
        </li>
        <li>
          Press once more to keep the numbers: then the file is drawn from them everywhere, and plates are packed by
          them.
        </li>
      </ol>
      <p class="quiet">No script, or numbers from your slicer at hand? Type them instead: all but the shadow.</p>
    </Section>
  )
}

/** What to press now that it is measured: nothing is kept before. */
function nextWords({ found, revision }: Pick<MeasureProps, 'found' | 'revision'>, another: string | null): string {
  const snags =
    (found?.measure.midAir?.length ?? 0) > 0 ? ' Note what begins in mid-air after that, on the file’s page.' : ''
  if (another) return `nothing is kept yet, and these parts are those of ${another}. Keep the numbers there.${snags}`
  if (found?.known && found.known.is !== 'this')
    return `nothing is kept yet. Keep the numbers with ${revision.label}, or say that it is a new revision.${snags}`
  return `nothing is kept yet. If this is the figure that you meant, keep its numbers.${snags}`
}

function Keep(props: MeasureProps) {
  const { found, revision, once } = props
  if (!found) return null
  const { text, known } = found
  const isTaken = props.kept !== null && !props.kept.mayRemove && props.kept.measure.front !== null
  const another = known?.is === 'another' && props.supports === null ? known : null
  const isStrange = known !== null && known.is !== 'this'
  return (
    <div class="next">
      {!isTaken && (
        <p>
          <strong>Next:</strong> {nextWords(props, another?.label ?? null)}
        </p>
      )}
      {another && (
        <Press
          main
          id="other"
          action={address(props, '', another.revisionId)}
          hidden={{ measured: text, once: `${once}-other` }}
          button={`Keep it with ${another.label}`}
        />
      )}
      {isTaken ? (
        <p>{props.kept?.by} has measured it before; only they or a steward can replace those numbers.</p>
      ) : (
        <Press
          main={!another}
          id="keep"
          action={address(props)}
          hidden={{ measured: text, once }}
          button={isStrange ? `Keep it with ${revision.label} all the same` : 'Keep these numbers'}
        />
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
    </div>
  )
}

/** For who has no script, or has the numbers from elsewhere. */
function ByHand(props: MeasureProps) {
  return (
    <FoldedForm
      summary="Type the numbers instead"
      form={props.typed}
      id="typed"
      action={address(props)}
      hidden={{ once: `${props.once}-typed` }}
      button="Keep what I typed"
    >
      <p class="hint">Your slicer shows them. A shadow can’t be typed: that needs a script in your browser.</p>
      <NumberField name="widthMm" label="Width" unit="mm" hint="From left to right, seen from the front." />
      <NumberField name="depthMm" label="Depth" unit="mm" hint="From front to back." />
      <NumberField name="heightMm" label="Height" unit="mm" />
      <NumberField optional name="volumeMl" label="Volume" unit="ml" />
    </FoldedForm>
  )
}
