import { Columns, Disclosure, Section } from '../parts/blocks.tsx'
import { ButtonForm, type FormState } from '../parts/button-form.tsx'
import {
  bestWords,
  chancesWords,
  cheapestOf,
  emptierFailLess,
  failWords,
  hundred,
  type Outlook,
  spreadWords,
  toPrintWords,
} from '../parts/chances-words.ts'
import { byName, SelectField } from '../parts/choice-field.tsx'
import { NumberField } from '../parts/field.tsx'
import { Money } from '../parts/money.tsx'
import { hoursWords } from '../parts/numbers.ts'
import { PlateDrawing } from '../parts/plate-drawing.tsx'
import { PrinterWarning } from './AtThePrinter.tsx'

export interface FileChancesProps {
  fileId: string
  /** What it stands in for, where that says how many copies are asked for first. */
  unit: string | null
  /** Kinds of support that the file has. */
  kinds: string[]
  /** The reader's own that are in use, with what wants a look. */
  printers: { id: string; name: string; look: { due: boolean; words: string } }[]
  form: FormState
  /** Null where the question makes no sense. */
  chances:
    | (Outlook & {
        copies: number
        kind: string
        printer: { id: string; name: string } | null
        plateMm: readonly [number, number]
        /** Nobody knows what a copy covers: a foot model's base is taken. */
        assumed: boolean
        /** On as few plates as take them, and on more. */
        others: Outlook[]
      })
    | null
}

/** Before printing: will so many copies come out on my printer, and would emptier plates do better? */
export function FileChances(props: FileChancesProps) {
  const { printers, chances } = props
  const printer = printers.find(({ id }) => id === chances?.printer?.id)
  return (
    <Section heading="Will it print on mine?" id="chances">
      {printer?.look.due && <PrinterWarning printers={[printer]} />}
      {chances ? <Columns main={<Answer chances={chances} />} aside={<Asked {...props} />} /> : <Asked {...props} />}
    </Section>
  )
}

/** How many, on which printer, with which supports: what is asked. */
function Asked({ fileId, unit, kinds, printers, form }: FileChancesProps) {
  return (
    <ButtonForm
      form={form}
      action={`/files/${fileId}#chances`}
      method="get"
      id="chances-form"
      before="it can be worked out"
      button="Work it out"
    >
      <div class="fields-beside">
        <NumberField whole name="copies" label="Copies" hint={unit && `Enough for one unit: ${unit}.`} />
        <NumberField whole name="plates" label="Spread over plates" />
      </div>
      {printers.length > 0 && (
        <SelectField
          optional
          name="printerId"
          label="On which printer"
          empty="a machine in good order"
          options={byName(printers)}
        />
      )}
      {kinds.length > 1 && (
        <SelectField optional name="kind" label="With which supports" empty="those that print best" options={kinds} />
      )}
      <SelectField optional name="crowding" label="How full is each plate" empty="as worked out" options={crowdings} />
    </ButtonForm>
  )
}

const crowdings = [
  { value: 'half empty', label: 'Half empty' },
  { value: 'about full', label: 'About full' },
  { value: 'packed', label: 'Packed' },
]

const supportWords: Record<string, string> = { 'as supplied': 'supports as supplied' }

function Answer({ chances }: { chances: NonNullable<FileChancesProps['chances']> }) {
  const { copies, kind, printer, others, plateMm, assumed, layers, resinMl, resinG } = chances
  const best = cheapestOf(others)
  return (
    <div class="told-close">
      {best && others.length > 1 && <p class="lead">{bestWords(best, others)}</p>}
      <p class="chances-answer">
        <strong>{chancesWords(chances)}</strong>{' '}
        {printer ? `On ${printer.name} as it is now` : 'On a machine in good order, as after upkeep'}, with{' '}
        {supportWords[kind] ?? kind}.
      </p>
      <p>
        {toPrintWords(chances)} {copies === 1 ? 'It takes' : `${copies} take`} {Math.round(resinMl)} ml of resin (
        {Math.round(resinG)} g){layers !== null && `, ${layers} layers a plate`}.
      </p>
      {chances.packed === null && (
        <p class="hurdle">They do not fit like that on {printer?.name ?? 'a small printer'}.</p>
      )}
      <ul class="plate-ways">
        {others.map((way) => (
          <Way
            key={way.plates}
            way={way}
            plateMm={plateMm}
            isChosen={way.plates === chances.plates}
            isBest={way === best}
          />
        ))}
      </ul>
      <Disclosure summary="How full, and why it matters">
        <p>
          How full a plate is depends on the room its copies take, with 3 mm around each, and on the widest layer of
          each where somebody has measured it.{assumed && ' Nobody has noted a base here, so a foot model’s is taken.'}
          {copies > 1 && (
            <>
              {' '}
              Copies on one plate tend to come out, or to fail, together. So all of them come out a little more often on
              one plate than on two that are just as full, though as many fail on average
              {emptierFailLess(others) && '; it is emptier plates that fail less'}.
            </>
          )}{' '}
          <a href="/help#blame">How that is known</a>
        </p>
      </Disclosure>
    </div>
  )
}

interface WayProps {
  way: Outlook
  plateMm: readonly [number, number]
  isChosen: boolean
  isBest: boolean
}

/** One way to spread the copies: its fullest plate as it will be packed, and what becomes of it. */
function Way({ way, plateMm, isChosen, isBest }: WayProps) {
  const { perPlate, crowding, packed, hours, cost, plates } = way
  const failing = Math.round(way.expectedFailures / plates)
  return (
    <li class={isBest ? 'plate-way plate-way-best' : 'plate-way'}>
      <PlateDrawing
        plateMm={plateMm}
        copies={packed ?? []}
        failing={failing}
        label={packed ? `${perPlate[0]} on the plate, ${failing} likely to fail` : 'They do not fit on the plate'}
      />
      <p>
        <strong>{spreadWords(perPlate)}</strong> ({crowding}
        {!way.workedOut && ', as you say'}){isChosen && ', as in the form'}
        <br />
        All good in {hundred(way.allGood)}, {failWords(way.expectedFailures)}
        <br />
        <Money value={cost} />
        {hours !== null && `, ${hoursWords(hours)}`}
      </p>
    </li>
  )
}
