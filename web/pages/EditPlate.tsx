import { Button, ButtonLink, Caution, Disclosure, EmptyState } from '../parts/blocks.tsx'
import { EditForm, type RoutedForm } from '../parts/button-form.tsx'
import { byName, type Option, RadioGroup, SelectField } from '../parts/choice-field.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { Correction, DateField, TextArea, TextField } from '../parts/field.tsx'
import { type Filling, fillingWords } from '../parts/filling.ts'
import { useField } from '../parts/form.tsx'
import { PictureFields } from '../parts/picture-fields.tsx'
import { useReader } from '../parts/reader.tsx'
import { Shadow, scaleFor } from '../parts/shadow.tsx'
import { PrintFields, type ShownPrint } from './PrintFields.tsx'

interface Props extends RoutedForm {
  prints: ShownPrint[]
  printers: { id: string; name: string }[]
  /** The reader's own; nothing is asked where they have none. */
  resins: { id: string; name: string }[]
  usualResin: string | null
  /** What can be seen on a failed copy, as the API calls it. */
  seen: string[]
  /** What else may have been on the plate: what was looked up for it, or else the reader's own files. */
  further: { q: string; files: { id: string; title: string }[] }
  crowding: PlateCrowdingProps
  isNew: boolean
  /** It was noted wet and is told now for the first time. */
  isWet: boolean
}

/** The second and third tap of a report: how many came out, and what was seen on the others. Also changes a plate. */
export function EditPlate(props: Props) {
  const { form, action, hidden, prints, printers, further, isNew } = props
  if (printers.length === 0)
    return (
      <EmptyState words="You have no printer in use here. Add yours first: what it printed before helps to tell the file’s fault from the machine’s.">
        <ButtonLink main href={`/printers/new?reportOf=${prints[0]?.file.id ?? ''}`}>
          Add a printer
        </ButtonLink>
      </EmptyState>
    )
  return (
    <>
      <div data-waiting />
      {isNew && prints.length === 1 && (
        <p>
          Not this file? <a href="/reports/new">Choose another</a>
        </p>
      )}
      <EditForm
        upload
        class="form form-beside report"
        form={form}
        action={action}
        hidden={hidden}
        keeps={isNew ? keptAs(prints) : undefined}
        button={isNew || props.isWet ? 'Send the report' : 'Save the change'}
      >
        {/* The return key presses a form's first button. */}
        <button type="submit" hidden>
          Send
        </button>
        <Beside prints={prints} />
        {prints.map((print, index) => (
          <PrintFields
            key={index}
            print={print}
            index={index}
            seen={props.seen}
            action={action}
            isAlone={prints.length === 1}
          >
            {prints.length === 1 && <Pictures prints={prints} />}
          </PrintFields>
        ))}
        <Further action={action} further={further} isOpen={prints.length === 0} />
        <PlateCrowding {...props.crowding} />
        <Usual printers={printers} />
        <Resin resins={props.resins} usualResin={props.usualResin} />
        <TextArea optional rows={2} name="remark" label="Remark" maxLength={1000} />
        {prints.length !== 1 && <Pictures prints={prints} />}
      </EditForm>
      <Caution />
    </>
  )
}

/** Of which resin the plate was, where the reader has any of their own. */
function Resin({ resins, usualResin }: Pick<Props, 'resins' | 'usualResin'>) {
  if (resins.length === 0) return null
  return (
    <SelectField
      optional
      name="resinId"
      label="Which resin"
      hint="Your rosters’ costs are counted with it."
      empty={usualResin === null ? 'none: the group’s settings count' : `your usual one, ${usualResin}`}
      options={byName(resins)}
    />
  )
}

/** The room of a figure beside the form. */
export const toldRoom = { heightPx: 150, widthPx: 200 }

/** What is being told, drawn where there is room for it; a script draws it anew with each number. */
function Beside({ prints }: Pick<Props, 'prints'>) {
  return (
    <div class="form-side form-side-wide" aria-hidden="true">
      <div class="form-side-words">
        {prints.map(({ file }, index) => (
          <figure key={index}>
            <Shadow ruler figure={file.figure} pxPerMm={scaleFor([file.figure], toldRoom)} />
            <figcaption class="quiet">{file.title}</figcaption>
            <svg width="204" height="68" data-copies={`prints.${index}`} />
          </figure>
        ))}
      </div>
    </div>
  )
}

/** What a report is about, while it waits for the network. */
const keptAs = ([first, ...others]: ShownPrint[]) =>
  [first?.file.title ?? 'A plate', others.length > 0 && `and ${others.length} more`].filter(Boolean).join(' ')

/** Another file that was on the plate: one tap adds its fields to the form, with all that was typed so far. */
function Further({ action, further, isOpen }: Pick<Props, 'action' | 'further'> & { isOpen: boolean }) {
  const [state, looked] = [useField('prints'), useField('q')]
  const isOf = isOpen || further.q !== '' || state.error !== undefined || looked.error !== undefined
  return (
    <Disclosure summary={isOpen ? 'What was on the plate' : 'And on the same plate'} open={isOf}>
      <div class="form" id={state.id} tabIndex={-1}>
        <Correction state={state} />
        {further.files.length > 0 && (
          <div class="choices choices-big">
            {further.files.map(({ id, title }) => (
              <Button key={id} name="add" value={id} formAction={`${action}/more`} label={`Add ${title}`}>
                {title}
              </Button>
            ))}
          </div>
        )}
        {further.q !== '' && further.files.length === 0 && <p>No file is called anything like “{further.q}”.</p>}
        <TextField optional type="search" name="q" label="Another file, by its title or sculptor" autoComplete="off" />
        <Button formAction={`${action}/more`}>Look up</Button>
      </div>
    </Disclosure>
  )
}

function Pictures({ prints }: Pick<Props, 'prints'>) {
  const options = prints.map(({ file }, index) => ({ value: String(index), label: file.title }))
  return <PictureFields atTheMachine prints={options} />
}

/** What is the same from plate to plate is filled in: one tap for another printer, the day folded away while nothing of it is wrong. */
function Usual({ printers }: Pick<Props, 'printers'>) {
  const { today } = useReader()
  const [onPrinter, onDay] = [useField('printerId'), useField('printedOn')]
  const [only, ...others] = printers
  const isOnly = others.length === 0 && only?.id === onPrinter.value && onPrinter.error === undefined
  // What was typed comes back as it was, and may be no day at all.
  const isUsualDay = isDay(onDay.value) && onDay.error === undefined
  return (
    <>
      {isOnly ? (
        <input type="hidden" name="printerId" value={only?.id} />
      ) : (
        <RadioGroup big name="printerId" label="On which printer" options={byName(printers)} />
      )}
      <div>
        {isUsualDay && (
          <p>
            Printed{isOnly && ` on ${only?.name},`}{' '}
            <span data-printed-on>
              <DateWords on={onDay.value} as="both" />
            </span>
            .
          </p>
        )}
        <Disclosure summary="On another day" open={!isUsualDay}>
          <div class="form">
            <DateField name="printedOn" label="On which day" max={today} />
          </div>
        </Disclosure>
      </div>
    </>
  )
}

const isDay = (text: string) => /^\d{4}-\d{2}-\d{2}$/.test(text) && !Number.isNaN(Date.parse(text))

export interface PlateCrowdingProps {
  /** Whether it is known of every print what a copy covers. */
  isKnown: boolean
  /** Of a print that is alone on the plate. */
  filling: Filling | null
}

/** How full the plate was: worked out by the service where it can be, and folded away then; or as the member says. */
function PlateCrowding({ isKnown, filling }: PlateCrowdingProps) {
  const { value, error } = useField('crowding')
  const group = (
    <RadioGroup
      big
      name="crowding"
      label="How full was the plate"
      options={isKnown ? [worked, ...crowdings] : crowdings}
    />
  )
  if (!isKnown) return group
  return (
    <div>
      <p>
        <Worked filling={filling} />
      </p>
      <Disclosure summary="Choose how full it was yourself" open={value !== '' || error !== undefined}>
        {group}
      </Disclosure>
    </div>
  )
}

/** What would come of it; a script keeps it up with what is typed. */
function Worked({ filling }: Pick<PlateCrowdingProps, 'filling'>) {
  const [tried, printer] = [useField('prints.0.tried'), useField('printerId')]
  if (!filling) return <>How full the plate was is worked out from what all the copies cover.</>
  const words = fillingWords(filling, Number(tried.value.trim() || 'none'), printer.value)
  return <span data-filling={JSON.stringify(filling)}>{words}</span>
}

const worked: Option = { value: '', label: 'Work it out', note: 'from what the copies cover' }

const crowdings: Option[] = [
  { value: 'half empty', label: 'Half empty', note: 'a finger fits between the copies' },
  { value: 'about full', label: 'About full', note: 'a few millimetres between them' },
  { value: 'packed', label: 'Packed', note: 'as many as would fit, edge to edge' },
]
