import type { Assets } from '../../web/assets.ts'
import { documentOf, Layout } from '../../web/layout.tsx'
import { Answer } from '../../web/parts/answer.tsx'
import type { RankedAnswer } from '../../web/parts/answer-words.ts'
import { Actions, Button, Caution, Columns, EmptyState, Facts, Pager, Section } from '../../web/parts/blocks.tsx'
import { ErrorSummary } from '../../web/parts/button-form.tsx'
import { CheckboxGroup, RadioGroup, SelectField } from '../../web/parts/choice-field.tsx'
import { CostLegend } from '../../web/parts/cost-bar.tsx'
import { DataTable } from '../../web/parts/data-table.tsx'
import { DateField, MoneyField, NumberField, TextArea, TextField } from '../../web/parts/field.tsx'
import { Form } from '../../web/parts/form.tsx'
import { LooksSlider } from '../../web/parts/looks-slider.tsx'
import { OfferTerms } from '../../web/parts/offer-terms.tsx'
import { IntervalMark } from '../../web/parts/success-interval.tsx'
import { SuggestField } from '../../web/parts/suggest-field.tsx'
import { VerdictBar } from '../../web/parts/verdict-bar.tsx'

const eur = (amount: string) => ({ amount, currency: 'EUR' })

function answerFor(looks: string): RankedAnswer {
  return {
    rank: 1,
    href: '/files/1',
    title: 'Wardens of the Reed Gate',
    sculptor: 'Odile Marrow',
    way: 'bought singly',
    wanted: 10,
    figure: { shadow: null, base: { shape: 'round', widthMm: 25 }, scaleMm: 28 },
    face: null,
    obtainable: true,
    costToTable: eur('15.85'),
    badLuckCost: eur('18.10'),
    breakdown: { price: '9.00', resinForGood: '4.20', plates: '1.00', failures: '1.05', snagTime: '0.60', looks },
    score: (15.85 + Number(looks)).toFixed(2),
    currency: 'EUR',
    attemptsPerGood: 1.184,
    printing: { copies: 12, plates: 1, hours: 4.25, resinMl: 126, fits: true, expectedFailures: 1.84 },
    comesOut: { mean: 0.83, low: 0.76, high: 0.88 },
    printSuccess: { mean: 0.91, low: 0.84, high: 0.96, copies: 46.2 },
    votes: { yes: 11, no: 2 },
    blockedBy: [{ kind: 'unsupported part', part: 'left arm' }],
    covers: ['spears'],
    missing: ['a banner'],
  }
}

/** One page with a sample of every part, so that a browser can judge them together. @param looks worth of looks asked for */
export function partsPage(assets: Assets, looks: string): string {
  return documentOf(
    <Layout
      me={{ id: 'm1', name: 'Ilse', role: 'steward' }}
      groupName="The Thursday Table"
      assets={assets}
      isFirst={false}
      reader={{ locale: 'en-IE', today: '2026-10-25', timeZone: 'Europe/Dublin' }}
      path="/parts"
      title="Every part"
      lead="Ten models, spears and a banner."
      notice="Your request was kept."
    >
      <LooksSlider action="/parts" value={eur(looks)} usual={eur('1.50')} region="answers" />
      <Section heading="Answers" id="answers">
        <div class="race">
          <Answer isOpen answer={answerFor(looks)} max="20.00" vote={{ action: '/vote', mine: null }} />
        </div>
      </Section>
      <Columns main={<Evidence />} aside={<Caution />} />
      <Section heading="A form">
        <Fields />
      </Section>
      <EmptyState words="Nothing here yet." />
      <Pager href="?after=b" />
    </Layout>,
  )
}

function Evidence() {
  const all = { mean: 0.76, low: 0.64, high: 0.86 }
  const rows = [
    { kind: 'as supplied', printSuccess: answerFor('0').printSuccess, copies: 46 },
    { kind: 'own supports', printSuccess: { mean: 0.8, low: 0.6, high: 0.95, copies: 0 }, copies: 0 },
  ]
  return (
    <>
      <Section heading="Support sets">
        <CostLegend breakdowns={[answerFor('0').breakdown]}>The short rule is one centimetre.</CostLegend>
        <DataTable
          caption="Support sets"
          captionHidden
          rows={rows}
          rowKey={(row) => row.kind}
          columns={[
            { label: 'Support', head: true, cell: (row) => <a href="/files/1">{row.kind}</a> },
            { label: 'Copies', figures: true, cell: (row) => row.copies },
            {
              label: 'Print success',
              wide: true,
              cell: ({ printSuccess }) => (
                <IntervalMark interval={all} isGuess={printSuccess.copies <= 0} counted={0.8} />
              ),
            },
          ]}
        />
        <VerdictBar verdict={{ file: 0.2, machine: 0.63, plate: 0.17, likely: 'machine' }} />
      </Section>
      <Section heading="Offers">
        <OfferTerms
          offer={{
            kind: 'membership',
            minMonths: 2,
            url: 'https://sculptor.example/club',
            state: 'members only',
            seenOn: '2026-10-01',
          }}
        />
        <Facts facts={[['Scale', '32 mm']]} />
      </Section>
    </>
  )
}

function Fields() {
  const crowding = [
    { value: 'half empty', label: 'Half empty', note: 'wide gaps' },
    { value: 'packed', label: 'Packed' },
  ]
  return (
    <Form
      action="/kept"
      id="ask"
      values={{ title: 'Reed wardens', tried: '10' }}
      errors={{ title: 'There is such a file', 'budget.amount': 'Two digits, like 12.50' }}
    >
      <ErrorSummary />
      <SuggestField name="unitName" label="Unit" hint="Type two letters" url="/units/suggest" target="unitId" />
      <TextField name="title" label="Title" hint="As its sculptor calls it" />
      <NumberField name="tried" label="Copies tried" unit="copies" whole steps />
      <MoneyField name="budget" label="Budget" optional currencies={['EUR', 'JPY']} />
      <DateField name="neededBy" label="Needed by" optional />
      <SelectField name="again" label="Plate" options={crowding} empty="Choose" />
      <RadioGroup name="crowding" label="How full was the plate?" options={crowding} big />
      <CheckboxGroup name="mustHaves" label="Must have" options={crowding} />
      <TextArea name="remark" label="Remark" optional />
      <Actions>
        <Button main>Keep it</Button>
      </Actions>
    </Form>
  )
}
