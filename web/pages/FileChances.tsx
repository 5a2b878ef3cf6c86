import { Actions, Button } from '../parts/button.tsx'
import { SelectField } from '../parts/choice-field.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { NumberField } from '../parts/field.tsx'
import { type Errors, Form, type Values } from '../parts/form.tsx'
import { hoursWords } from '../parts/hours.ts'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { ofHundred } from '../parts/of-hundred.ts'
import { type Placed, PlateDrawing } from '../parts/plate-drawing.tsx'
import { Section } from '../parts/section.tsx'
import { PrinterWarning } from './PrinterWarning.tsx'

type Crowding = 'half empty' | 'about full' | 'packed'

interface Outlook {
  crowding: Crowding
  plates: number
  /** Copies on each plate. */
  perPlate: number[]
  /** Chance that every copy comes out good. */
  allGood: number
  expectedFailures: number
  /** Copies to print to have as many good ones in 9 cases of 10. */
  toPrint: number
  /** How full it is was worked out, not told. */
  workedOut: boolean
  layers: number | null
  hours: number | null
  resinMl: number
  resinG: number
  /** Expected, to have as many good ones. */
  cost: MoneyValue
  /** Where copies stand on the fullest plate; null where they do not fit. */
  packed: Placed[] | null
}

export interface FileChancesProps {
  fileId: string
  /** Kinds of support that the file has. */
  kinds: string[]
  /** The reader's own that are in use, with what wants a look. */
  printers: { id: string; name: string; look: { due: boolean; words: string } }[]
  form: { values: Values; errors: Errors }
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
export function FileChances({ fileId, kinds, printers, form, chances }: FileChancesProps) {
  const printer = printers.find(({ id }) => id === chances?.printer?.id)
  return (
    <Section heading="Will it print on mine?" id="chances">
      {printer?.look.due && <PrinterWarning printers={[printer]} />}
      {chances && <Answer chances={chances} />}
      <Form action={`/files/${fileId}#chances`} method="get" id="chances-form" {...form}>
        <ErrorSummary before="it can be worked out" />
        <div class="fields-beside">
          <NumberField whole name="copies" label="Copies" />
          <NumberField whole name="plates" label="Spread over plates" />
        </div>
        {printers.length > 0 && (
          <SelectField
            optional
            name="printerId"
            label="On which printer"
            empty="a machine in good order"
            options={printers.map(({ id, name }) => ({ value: id, label: name }))}
          />
        )}
        {kinds.length > 1 && (
          <SelectField
            optional
            name="kind"
            label="With which supports"
            empty="those that print best"
            options={kinds.map((kind) => ({ value: kind, label: kind }))}
          />
        )}
        <SelectField
          optional
          name="crowding"
          label="How full is each plate"
          empty="as worked out"
          options={crowdings}
        />
        <Actions>
          <Button>Work it out</Button>
        </Actions>
      </Form>
    </Section>
  )
}

const crowdings = [
  { value: 'half empty', label: 'Half empty' },
  { value: 'about full', label: 'About full' },
  { value: 'packed', label: 'Packed' },
]

const supportWords: Record<string, string> = { 'as supplied': 'supports as supplied' }

/** "one half-empty plate", "2 plates that are about full". */
function platesWords(plates: number, crowding: Crowding): string {
  const number = plates === 1 ? 'one' : plates
  const noun = plates === 1 ? 'plate' : 'plates'
  if (crowding === 'about full') return `${number} ${noun} that ${plates === 1 ? 'is' : 'are'} about full`
  return `${number} ${crowding === 'packed' ? 'packed' : 'half-empty'} ${noun}`
}

function Answer({ chances }: { chances: NonNullable<FileChancesProps['chances']> }) {
  const { copies, kind, printer, others, plateMm, assumed, layers, resinMl, resinG } = chances
  const best = cheapestOf(others)
  return (
    <>
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
          How full a plate is goes by the room that copies take with 3 mm around each, and by the widest layer of each
          where somebody has measured it.{assumed && ' Nobody has noted a base here, so a foot model’s is taken.'}
          {copies > 1 && (
            <>
              {' '}
              Copies of one plate share their fate: they tend to come out, or to fail, together. So one plate brings all
              of them a little more often than two that are just as full, with as many failures on average
              {emptierFailLess(others) && '; it is emptier plates that fail less'}.
            </>
          )}{' '}
          <a href="/help#blame">How that is known</a>
        </p>
      </Disclosure>
    </>
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
        {!way.workedOut && ', as you say'}){isChosen && ' (yours)'}
        <br />
        All good in {hundred(way.allGood)}, {failWords(way.expectedFailures)}
        <br />
        <Money value={cost} />
        {hours !== null && `, ${hoursWords(hours)}`}
      </p>
    </li>
  )
}

/** What fits and costs least; of two that cost the same the one on fewer plates. */
const cheapestOf = (ways: readonly Outlook[]): Outlook | undefined =>
  ways
    .filter(({ packed }) => packed !== null)
    .toSorted((one, other) => Number(one.cost.amount) - Number(other.cost.amount) || one.plates - other.plates)[0]

/** "Cheapest: 3 + 3 on two plates, one plate more, 4 ¼ h longer." */
export function bestWords(best: Outlook, ways: readonly Outlook[]): string {
  const fewest = ways.find(({ packed }) => packed !== null) ?? best
  const more = best.plates - fewest.plates
  const longer = best.hours === null || fewest.hours === null ? 0 : best.hours - fewest.hours
  const words = [
    `Cheapest: ${spreadWords(best.perPlate)}`,
    more > 0 && (more === 1 ? 'one plate more' : `${more} plates more`),
    longer > 0 && `${hoursWords(longer)} longer`,
  ]
  return `${words.filter(Boolean).join(', ')}.`
}

/** The fuller the plate, the more fail: not in every group yet, since that is learnt from what its plates did. */
function emptierFailLess(ways: readonly Outlook[]): boolean {
  const [first] = ways
  const last = ways.at(-1)
  return first !== undefined && last !== undefined && last.expectedFailures < first.expectedFailures - 0.005
}

/** "All 6 copies on one packed plate come out good in 41 of 100 tries; on average 1.3 fail." */
export function chancesWords({ copies, plates, crowding, allGood, expectedFailures }: Outlook & { copies: number }) {
  const where = `on ${platesWords(plates, crowding)}`
  const all = copies === 1 ? `One copy ${where} comes` : `All ${copies} copies ${where} come`
  return `${all} out good in ${hundred(allGood)} tries; on average ${failWords(expectedFailures)}.`
}

/** "To have 6 good ones in 9 cases of 10, print 8." */
export function toPrintWords({ copies, toPrint }: Pick<Outlook, 'toPrint'> & { copies: number }): string {
  const good = copies === 1 ? 'a good one' : `${copies} good ones`
  return toPrint === copies
    ? `In 9 cases of 10 no more have to be printed to have ${good}.`
    : `To have ${good} in 9 cases of 10, print ${toPrint}.`
}

/** "41 of 100": a share of tries, never all or none of them while it is only likely. */
function hundred(share: number): string {
  if (share < 0.005) return 'fewer than 1 of 100'
  return share < 0.995 ? ofHundred(share) : 'more than 99 of 100'
}

function failWords(failures: number): string {
  if (failures < 0.05) return 'hardly any fails'
  const words = failures < 9.95 ? failures.toFixed(1) : String(Math.round(failures))
  return words === '1.0' ? '1 fails' : `${words} fail`
}

/** "6 on one plate", "3 + 3 on two plates". */
function spreadWords(perPlate: number[]): string {
  const numbers = ['no', 'one', 'two', 'three', 'four', 'five', 'six']
  const plates = `${numbers[perPlate.length] ?? perPlate.length} ${perPlate.length === 1 ? 'plate' : 'plates'}`
  if (perPlate.length > 4) return `${perPlate[0]} at most on each of ${perPlate.length} plates`
  return `${perPlate.join(' + ')} on ${plates}`
}
