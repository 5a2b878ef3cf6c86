import { Beside, ButtonLink, Columns, EmptyState } from '../parts/blocks.tsx'
import { EditForm, type FormState, LookUp } from '../parts/button-form.tsx'
import { CheckboxGroup, RadioGroup } from '../parts/choice-field.tsx'
import { type Drawn, drawnOptions } from '../parts/drawn-options.tsx'
import { TextArea } from '../parts/field.tsx'
import { UnitDrawing } from '../parts/unit-shadow.tsx'
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
export function AnswerFields({ mustHaves, hint }: { mustHaves: string[]; hint?: string }) {
  return (
    <>
      {mustHaves.length > 0 && (
        <CheckboxGroup optional name="covers" label="Which must-haves does it cover?" hint={hint} options={mustHaves} />
      )}
      <TextArea optional name="remark" label="Your remark" hint="Why it looks the part, what to watch out for." />
    </>
  )
}
