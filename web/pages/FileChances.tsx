import { Actions, Button } from '../parts/button.tsx'
import { RadioGroup, SelectField } from '../parts/choice-field.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { NumberField } from '../parts/field.tsx'
import { type Errors, Form, type Values } from '../parts/form.tsx'
import { ofHundred } from '../parts/of-hundred.ts'
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
    | (Outlook & { copies: number; kind: string; printer: { id: string; name: string } | null; others: Outlook[] })
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
        <RadioGroup name="crowding" label="How full is each plate" options={crowdings} />
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
  const { copies, kind, printer, others } = chances
  const rows = [...Map.groupBy(others, ({ plates }) => plates).values()]
  return (
    <>
      <p class="chances-answer">
        <strong>{chancesWords(chances)}</strong>{' '}
        {printer ? `On ${printer.name} as it is now` : 'On a machine in good order, as after upkeep'}, with{' '}
        {supportWords[kind] ?? kind}.
      </p>
      <p>{toPrintWords(chances)}</p>
      <DataTable
        caption={`${copies === 1 ? 'One copy' : `All ${copies}`} good in so many of 100 tries, how many fail on average, and how many to print to have ${copies === 1 ? 'it' : `${copies} good ones`} in 9 cases of 10`}
        rows={rows}
        rowKey={([first]) => String(first?.plates)}
        columns={[
          { label: 'Copies', head: true, cell: ([first]: Outlook[]) => (first ? spreadWords(first.perPlate) : '') },
          ...crowdings.map(({ value, label }) => ({
            label,
            cell: (row: Outlook[]) => (
              <Cell outlook={row.find(({ crowding }) => crowding === value)} chosen={chances} />
            ),
          })),
        ]}
      />
      {copies > 1 && (
        <p class="quiet">
          Copies of one plate share their fate: they tend to come out, or to fail, together. So one plate brings all of
          them a little more often than two that are just as full, with as many failures on average
          {emptierFailLess(rows[0] ?? []) && '; it is emptier plates that fail less'}.{' '}
          <a href="/help#blame">How that is known</a>
        </p>
      )}
    </>
  )
}

/** The fuller the plate, the more fail: not in every group yet, since that is learnt from what its plates did. */
function emptierFailLess(onOnePlate: Outlook[]): boolean {
  const failing = crowdings.map(({ value }) => onOnePlate.find(({ crowding }) => crowding === value)?.expectedFailures)
  const [halfEmpty = 0, aboutFull = 0, packed = 0] = failing
  return halfEmpty < aboutFull && aboutFull < packed
}

function Cell({ outlook, chosen }: { outlook: Outlook | undefined; chosen: Outlook }) {
  if (!outlook) return null
  const isChosen = outlook.plates === chosen.plates && outlook.crowding === chosen.crowding
  const words = hundred(outlook.allGood)
  return (
    <span class="chances-cell">
      {isChosen ? <strong>{words} (yours)</strong> : words}{' '}
      <small>
        {failWords(outlook.expectedFailures)}, print {outlook.toPrint}
      </small>
    </span>
  )
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
