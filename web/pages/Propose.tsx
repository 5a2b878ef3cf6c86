import type { Base } from '../parts/base.ts'
import { Beside, ButtonLink, Columns, Disclosure, EmptyState, Section } from '../parts/blocks.tsx'
import { EditForm, type FormState, LookUp } from '../parts/button-form.tsx'
import { CheckboxGroup, type Drawn, drawnOptions, RadioGroup, SelectField } from '../parts/choice-field.tsx'
import { DescribedHere } from '../parts/described-here.tsx'
import { TextArea, TextField } from '../parts/field.tsx'
import { isRefused } from '../parts/form.tsx'
import { UnitDrawing } from '../parts/shadow.tsx'
import { MeasureFields, SculptorFields } from './EditFile.tsx'
import { OfferFields, offerKinds } from './EditOffer.tsx'
import { SupportKinds } from './EditRevision.tsx'
import { MeasureHere } from './MeasureFiles.tsx'
import { type AskedFor, RequestLead } from './RequestHead.tsx'

interface Props {
  request: AskedFor
  form: FormState
  once: string
  /** What was looked for. */
  q: string
  /** Files to choose from: those found, or those known for the unit. */
  files: (Drawn & { ticks: string[] })[]
  /** Something is known to stand in for the unit. */
  hasStandIns: boolean
  /** The file whose must-haves are ticked already. */
  ticked: string
}

/** Proposes a known file for a request, or leads to a new one. */
export function Propose({ request, form, once, q, files, hasStandIns, ticked }: Props) {
  const here = `/requests/${request.id}/propose`
  const add = `${here}/new${q && `?title=${encodeURIComponent(q)}`}`
  return (
    <>
      <LookUp action={here} label="Look a file up" words="Title or sculptor; near enough will do" q={q} id="look" />
      {files.length === 0 ? (
        <Columns
          main={
            <EmptyState
              words={q ? `No file is called anything like “${q}”.` : 'The group knows no file for this unit yet.'}
            >
              <ButtonLink href={add}>Propose a new file</ButtonLink>
            </EmptyState>
          }
          aside={<Wanted request={request} hasStandIns={hasStandIns} />}
        />
      ) : (
        <EditForm
          form={form}
          action={here}
          hidden={{ once, q, ticked }}
          button="Propose it"
          back={[add, 'It is not here: propose a new file']}
        >
          <RadioGroup
            name="fileId"
            label={q ? `Files like “${q}”` : `Files known for ${request.unit.name}`}
            options={drawnOptions(files, request.unit.base).map((option, index) => ({
              ...option,
              ticks: files[index]?.ticks ?? [],
            }))}
          />
          <AnswerFields mustHaves={request.mustHaves} />
          <Beside>
            <Wanted request={request} hasStandIns={hasStandIns} />
          </Beside>
        </EditForm>
      )}
      <p>
        <a href={`/requests/${request.id}`}>Back to the request</a>
      </p>
    </>
  )
}

/** What it has to answer, as the request's own page has it at its head. */
function Wanted({ request, hasStandIns }: Pick<Props, 'request' | 'hasStandIns'>) {
  return (
    <div class="wanted">
      <UnitDrawing unit={request.unit} />
      <p>
        <RequestLead request={request} mayChange={false} hasStandIns={hasStandIns} />
      </p>
    </div>
  )
}

/** How the file answers the request. */
function AnswerFields({ mustHaves, hint }: { mustHaves: string[]; hint?: string }) {
  return (
    <>
      {mustHaves.length > 0 && (
        <CheckboxGroup optional name="covers" label="Which must-haves does it cover?" hint={hint} options={mustHaves} />
      )}
      <TextArea optional name="remark" label="Your remark" hint="Why it looks the part, what to watch out for." />
    </>
  )
}

interface NewProps {
  request: { id: string; unit: { name: string; base: Base | null }; mustHaves: string[] }
  form: FormState
  hidden: Record<string, string>
  currencies: [string, ...string[]]
  /** Resin of a copy where a file's own is not known, ml. */
  resinMlPerModel: number
  /** Address of the script that measures. */
  worker: string
}

/** Describes a file that the group does not know yet and proposes it, in one form; what is not known may stay out. */
export function ProposeNew({ request, form, hidden, currencies, resinMlPerModel, worker }: NewProps) {
  const here = `/requests/${request.id}/propose`
  // What is wrong must not be out of sight.
  const isMending = isRefused(form)
  return (
    <EditForm
      form={form}
      action={`${here}/new`}
      hidden={hidden}
      before="it is proposed"
      button="Propose it"
      back={[here, 'Choose a file that is known']}
    >
      <p class="quiet">A title, a link and a price are enough; the rest can be added later on the file’s page.</p>
      <TextField name="file.title" label="Title" hint="As it is sold or given." />
      <SculptorFields isNew prefix="file." />
      <Section heading="One way to get it">
        <SelectField optional name="file.offer.kind" label="What it is" options={offerKinds} />
        <OfferFields prefix="file.offer." currencies={currencies} isOpen={isMending} />
      </Section>
      <Section heading={`As an answer for ${request.unit.name}`}>
        <AnswerFields mustHaves={request.mustHaves} hint="What you list among its options, below, is counted anyway." />
      </Section>
      <Disclosure summary="More, if you know it: scale, base, resin, options, supports" open={isMending}>
        <MeasureHere prefix="file." worker={worker} />
        <MeasureFields prefix="file." resinMlPerModel={resinMlPerModel} />
        <TextField
          optional
          name="file.revision.label"
          label="Its revision"
          hint="As the sculptor calls it, or your own word. Clear it if you know nothing of its supports."
        />
        <SupportKinds name="file.revision.supportKinds" />
      </Disclosure>
      <Beside>
        <DescribedHere what="file" prefix="file." unitBase={request.unit.base} />
      </Beside>
    </EditForm>
  )
}
