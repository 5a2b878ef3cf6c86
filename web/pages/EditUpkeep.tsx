import { Caution } from '../parts/blocks.tsx'
import { EditForm, FoldedPress, type FormState } from '../parts/button-form.tsx'
import { RadioGroup } from '../parts/choice-field.tsx'
import { DateField, TextArea } from '../parts/field.tsx'
import { type FilmPlate, FilmStrip } from '../parts/film-chart.tsx'
import { useReader } from '../parts/reader.tsx'
import { type Look, LookWords } from './AtThePrinter.tsx'

interface Props {
  id: string
  printer: { id: string; name: string; film: FilmPlate[]; look: Look }
  form: FormState
  hidden: Record<string, string>
  takeBack: Record<string, string>
}

/** Corrects what was noted of a printer, or takes it back. */
export function EditUpkeep({ id, printer, form, hidden, takeBack }: Props) {
  return (
    <>
      <EditForm
        form={form}
        action={`/upkeep/${id}/edit`}
        hidden={hidden}
        button="Save the change"
        back={[`/printers/${printer.id}#upkeep`, `Back to ${printer.name}`]}
        aside={
          <>
            <Film {...printer} />
            <Caution />
          </>
        }
      >
        <UpkeepFields />
        <p class="hint">If you change the day, prints are counted as if it had been that day all along.</p>
      </EditForm>
      <FoldedPress
        class="form"
        summary="Take this upkeep back"
        id="take-back"
        action={`/upkeep/${id}/take-back`}
        hidden={takeBack}
        button="Take it back"
      >
        If it was noted by mistake: the prints before and after it are then counted together.
      </FoldedPress>
    </>
  )
}

/** So many of its plates find room beside the form. */
const drawnPlates = 16

/** What the upkeep is read by: the latest plates before and after it. */
function Film({ name, film, look }: Props['printer']) {
  return (
    <>
      <h2 class="side-heading">{name} as it is counted now</h2>
      {film.length > 0 && <FilmStrip plates={film.slice(-drawnPlates)} />}
      <p>
        <LookWords look={look} />
      </p>
      {film.length > 0 && (
        <p class="quiet">
          One dot per plate, hollow if anything on it failed; a broken line is upkeep. Above the dotted line it wants a
          look.
        </p>
      )}
    </>
  )
}

const kinds = [
  { value: 'film changed', label: 'Film changed' },
  { value: 'plate levelled', label: 'Plate levelled' },
  { value: 'vat filtered', label: 'Vat emptied and filtered' },
  { value: 'screen replaced', label: 'Screen replaced' },
  { value: 'other', label: 'Something else', note: 'Say what in the remark.' },
]

/** What was done to a printer, and when. */
export function UpkeepFields() {
  const { today } = useReader()
  return (
    <>
      <RadioGroup big name="kind" label="What was done" options={kinds} />
      <DateField name="on" label="On which day" max={today} />
      <TextArea optional rows={2} name="remark" label="Remark" maxLength={500} />
    </>
  )
}
