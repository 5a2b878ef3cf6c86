import { Caution, EmptyState, Section } from '../parts/blocks.tsx'
import { ButtonForm, FoldedPress, type SentForm } from '../parts/button-form.tsx'
import { RadioGroup } from '../parts/choice-field.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { DateField, TextArea } from '../parts/field.tsx'
import { useReader } from '../parts/reader.tsx'

export interface Upkeep {
  id: string
  kind: string
  on: string
  remark: string
  version: number
}

interface Props {
  printer: { id: string; upkeep: Upkeep[] }
  /** Left out where this reader may not note upkeep. */
  upkeepForm?: SentForm | undefined
}

/** What was done to it, and the form that notes more of it. */
export function UpkeepSection({ printer, upkeepForm }: Props) {
  return (
    <Section heading="Upkeep" id="upkeep">
      <div class="at-the-printer">
        {upkeepForm && (
          <ButtonForm
            main
            {...upkeepForm}
            action={`/printers/${printer.id}/upkeep#upkeep`}
            id="upkeep-form"
            button="Note this upkeep"
          >
            <h3>Note upkeep</h3>
            <UpkeepFields />
            <Caution />
          </ButtonForm>
        )}
        <UpkeepLog upkeep={printer.upkeep} once={upkeepForm?.hidden.once} />
      </div>
    </Section>
  )
}

export const kindWords = (kind: string) => (kind === 'other' ? 'something else' : kind)

/** @param once of the page's form; undefined where the reader may take nothing back */
function UpkeepLog({ upkeep, once }: { upkeep: Upkeep[]; once: string | undefined }) {
  if (upkeep.length === 0)
    return (
      <EmptyState words="No upkeep is noted. Film, level and vat want a look every few months of regular printing." />
    )
  return (
    <ul class="upkeep-log">
      {upkeep.map(({ id, kind, on, remark, version }) => (
        <li key={id}>
          <strong>
            <DateWords on={on} as="both" />
          </strong>
          : {kindWords(kind)}
          {remark && <p class="quiet">{remark}</p>}
          {once && (
            <FoldedPress
              summary="Noted by mistake"
              id={`take-back-${id}`}
              action={`/upkeep/${id}/take-back`}
              hidden={{ version: String(version), once: `${once}-${id}` }}
              button="Take it back"
              label={`Take it back: ${kindWords(kind)}, ${on}`}
            >
              The prints before and after it are then counted together. If only the day was wrong, note it once more.
            </FoldedPress>
          )}
        </li>
      ))}
    </ul>
  )
}

const kinds = [
  { value: 'film changed', label: 'Film changed' },
  { value: 'plate levelled', label: 'Plate levelled' },
  { value: 'vat filtered', label: 'Vat emptied and filtered' },
  { value: 'screen replaced', label: 'Screen replaced' },
  { value: 'other', label: 'Something else' },
]

/** What was done to a printer, and when. */
function UpkeepFields() {
  const { today } = useReader()
  return (
    <>
      <RadioGroup big name="kind" label="What was done" options={kinds} />
      <DateField name="on" label="On which day" max={today} />
      <TextArea
        optional="optional unless it was something else"
        rows={2}
        name="remark"
        label="Remark"
        maxLength={500}
      />
    </>
  )
}
