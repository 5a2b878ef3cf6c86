import { Columns, EmptyState, Section } from '../parts/blocks.tsx'
import { ButtonForm, type FormState, LookUp, Press } from '../parts/button-form.tsx'
import { type Drawn, drawnOptions, RadioGroup } from '../parts/choice-field.tsx'
import { type FigureSize, Shadow, scaleFor } from '../parts/shadow.tsx'

type Kind = 'unit' | 'file' | 'sculptor'

interface Props {
  kind: Kind
  /** What goes. */
  name: string
  /** What it is drawn by; null for what has no size. */
  figure: FigureSize | null
  /** Its form to change it, where merging begins. */
  back: string
  action: string
  form: FormState
  once: string
  q: string
  /** Those that it may be the same as. */
  found: Drawn[]
}

const room = { heightPx: 150, widthPx: 200 }

const follows: Record<Kind, string> = {
  unit: 'Requests, stand-ins and rosters move to the unit that stays, which is found by this name as well.',
  file: 'Revisions, reports, snags, offers, proposals with their votes, and shelves move to the file that stays. Nothing is counted twice; plans that name this file have to be made again.',
  sculptor: 'Files move to the sculptor who stays. If either asked not to be named, neither is named from then on.',
}

/** Makes one of two that are the same; for stewards. */
export function Merge({ kind, name, figure, back, action, form, once, q, found }: Props) {
  return (
    <Columns
      main={
        <>
          <LookUp
            action={action}
            label={`Look a ${kind} up`}
            words={`Which ${kind} stays? Near enough will do`}
            q={q}
            id="look"
          />
          {found.length === 0 ? (
            <EmptyState words={`No other ${kind} is called anything like “${q}”.`}>
              <a href={back}>Back</a>
            </EmptyState>
          ) : (
            <ButtonForm
              main
              form={form}
              action={action}
              hidden={{ once, q }}
              before="they can be merged"
              button={`Merge ${name} with it`}
              back={[back, 'Back']}
            >
              <RadioGroup name="into" label={`Which ${kind} stays?`} options={drawnOptions(found)} />
            </ButtonForm>
          )}
        </>
      }
      aside={
        <Section heading={`${name} goes`}>
          {figure && <Shadow ruler figure={figure} pxPerMm={scaleFor([figure], room)} />}
          <p>{follows[kind]}</p>
          <p>
            <strong>It can’t be undone.</strong>
          </p>
        </Section>
      }
    />
  )
}

export interface Mistake {
  /** Its address. */
  path: string
  /** What its form carries along. */
  hidden: Record<string, string>
  mayMerge: boolean
}

/** Under a form that changes something: what to do where it should not be there at all. */
export function AddedByMistake({ kind, path, hidden, mayMerge }: Mistake & { kind: Kind }) {
  return (
    <Section heading="A duplicate, or a mistake?">
      {mayMerge && (
        <p>
          <a href={`${path}/merge`}>It is the same as another {kind}: merge them</a>
        </p>
      )}
      <p>If it was added by mistake, it can be removed while nobody uses it.</p>
      <Press action={`${path}/remove`} hidden={hidden} id="remove" button={`Remove this ${kind}`} />
    </Section>
  )
}
