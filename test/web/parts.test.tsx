import { describe, expect, test } from 'vitest'
import { Answer } from '../../web/parts/answer.tsx'
import type { RankedAnswer } from '../../web/parts/answer-words.ts'
import { baseWords } from '../../web/parts/base.ts'
import { Facts, Pager } from '../../web/parts/blocks.tsx'
import { DataTable } from '../../web/parts/data-table.tsx'
import { sliderRange } from '../../web/parts/looks-slider.tsx'
import { SumTable } from '../../web/parts/money.tsx'
import { type Offer, OfferTerms, safeLink } from '../../web/parts/offer-terms.tsx'
import { severityWords, stateWords } from '../../web/parts/snag-words.ts'
import { VoteForm, voteWords } from '../../web/parts/votes.tsx'
import { html, words } from './render.tsx'

const hostile = '"><script>alert(1)</script>&amp;'
const eur = (amount: string) => ({ amount, currency: 'EUR' })

describe('votes', () => {
  test('are told in words', () => {
    expect(voteWords({ yes: 11, no: 2 })).toBe('11 would field it, 2 would not')
    expect(voteWords({ yes: 1, no: 0 })).toBe('1 would field it, nobody would not')
    expect(voteWords({ yes: 0, no: 0 })).toBe('Nobody has said yet whether they would field it')
  })

  test('two plain buttons; the answer given is said, and can be changed or taken back', () => {
    const ask = words(<VoteForm action="/proposals/1/vote" about="Reed wardens" mine={null} />)
    expect(ask).toBe('Would you field it? Yes, I would field it No')
    const voted = words(<VoteForm action="/proposals/1/vote" about="Reed wardens" mine={false} />)
    expect(voted).toBe('Would you field it? Your answer: no. Yes, I would field it Take my answer back')
  })

  test('each button says what it is about', () => {
    expect(html(<VoteForm action="/v" about={hostile} mine={null} />)).toContain(
      'aria-label="Yes, I would field it: &quot;>&lt;script>alert(1)&lt;/script>&amp;amp;"',
    )
  })
})

describe('snags', () => {
  test('say what they mean for who prints it', () => {
    expect(severityWords({ severity: 'stops the print' })).toBe('Stops the print')
    expect(severityWords({ severity: 'costs time', minutes: 1 })).toBe('Costs 1 minute')
    expect(severityWords({ severity: 'costs time', minutes: 15 })).toBe('Costs 15 minutes')
    expect(severityWords({ severity: 'costs time', minutes: null })).toBe('Costs time')
  })

  test('say what became of them in the words of the form', () => {
    expect(stateWords({ state: 'open' })).toBe('open')
    expect(stateWords({ state: 'the sculptor knows', mendedIn: null })).toBe('the sculptor knows')
    expect(stateWords({ state: 'mended', mendedIn: '3' })).toBe('mended in revision 3')
  })
})

describe('offers', () => {
  const offer: Offer = {
    kind: 'purchase',
    url: 'https://sculptor.example/reed',
    state: 'on sale',
    seenOn: '2026-10-01',
  }

  test('say what they are, on what terms, and when it was seen', () => {
    expect(words(<OfferTerms offer={offer} />)).toBe('Purchase ; seen on 1 October 2026 Go to the offer')
    const club = { ...offer, kind: 'membership', minMonths: 2, files: 14 } as const
    expect(words(<OfferTerms offer={club} />)).toContain('Membership that opens 14 files, for at least 2 months')
  })

  test('a withdrawn one stays as knowledge, not as a link', () => {
    expect(html(<OfferTerms offer={{ ...offer, state: 'withdrawn' }} />)).not.toContain('sculptor.example')
  })

  test('only web addresses become links', () => {
    expect(safeLink('https://sculptor.example/reed')).toBe('https://sculptor.example/reed')
    for (const url of ['javascript:alert(1)', 'data:text/html,x', ' JaVaScRiPt:alert(1)', 'reed', '', null])
      expect(safeLink(url)).toBeNull()
    expect(html(<OfferTerms offer={{ ...offer, url: 'javascript:alert(1)' }} />)).not.toContain('href')
  })
})

describe('an answer', () => {
  const answer: RankedAnswer = {
    rank: 1,
    href: '/files/1',
    title: 'Reed wardens',
    sculptor: 'Odile Marrow',
    way: 'bought singly',
    wanted: 10,
    figure: { shadow: null, base: { shape: 'round', widthMm: 25 }, scaleMm: 28 },
    face: null,
    obtainable: true,
    costToTable: eur('15.85'),
    badLuckCost: eur('18.10'),
    breakdown: {
      price: '9.00',
      resinForGood: '4.20',
      plates: '1.00',
      failures: '1.05',
      snagTime: '0.60',
      looks: '2.00',
    },
    score: '17.85',
    currency: 'EUR',
    attemptsPerGood: 1.184,
    printing: { copies: 12, plates: 1, hours: 4.25, resinMl: 126, fits: true, expectedFailures: 1.84 },
    comesOut: { mean: 0.83, low: 0.76, high: 0.88 },
    printSuccess: { mean: 0.91, low: 0.84, high: 0.96, copies: 46.2 },
    votes: { yes: 11, no: 2 },
    blockedBy: [],
    covers: ['spears'],
    missing: [],
  }

  test('shows the sum that ranks it, term by term, and its bad luck', () => {
    const said = words(<Answer answer={answer} max="17.85" notes={{ resinForGood: '10 copies of 8.4 ml' }} />)
    expect(said).toContain('1 Reed wardens Odile Marrow, bought singly')
    expect(said).toContain('83 of 100 come out 11 would field it, 2 would not €15.85 + €2.00 looks')
    expect(said).toContain(
      '12 to print for 10 good On 1 plate, 126 ml of resin: 1.8 fail on average. 4 ¼ h at the printer.',
    )
    expect(said).toContain('About 8 of 10 come out good on a printer in good order; the file alone 84-96 of 100')
    expect(said).toContain(
      'price €9.00 resin 10 copies of 8.4 ml €4.20 plates €1.00 failures €1.05 time for snags €0.60 to the table €15.85 looks, which nobody pays + €2.00 ranked by €17.85',
    )
    expect(said).toContain('9 in 10 do no worse than €18.10')
    expect(said).not.toContain('Would you field it')
  })

  test('says why more fail on average than the share lets expect, where little is known', () => {
    // Ten good ones at .73 take 13.7 copies; charged are 16.1.
    const unknown = { ...answer, comesOut: { mean: 0.73, low: 0.36, high: 0.97 } }
    const printing = { ...answer.printing, copies: 17, expectedFailures: 6.13 }
    const said = words(<Answer answer={{ ...unknown, printing }} max="17.85" />)
    expect(said).toContain('17 to print for 10 good')
    expect(said).toContain('6.1 fail on average: 3.7 if 73 of 100 come out, many more if it prints worse.')
  })

  test('names the supports that it prints best with, unless they are those supplied', () => {
    const withKind = (kind: string) => (
      <Answer answer={{ ...answer, printSuccess: { ...answer.printSuccess, kind } }} max="17.85" />
    )
    expect(words(withKind('own supports'))).toContain('own supports')
    expect(words(withKind('as supplied'))).not.toContain('supplied')
  })

  test('lists no term of nothing', () => {
    const free = { ...answer, breakdown: { ...answer.breakdown, price: '0.00', snagTime: '0.00', looks: '0.00' } }
    const said = words(<Answer answer={free} max="17.85" />)
    expect(said).toContain('resin €4.20 plates €1.00 failures €1.05')
    expect(said).not.toMatch(/price €|snags|looks, which|€ looks|0\.00/)
  })

  test('says first what stands in the way', () => {
    const blocked = { ...answer, obtainable: false, blockedBy: [{ kind: 'unsupported part', part: 'left arm' }] }
    const said = words(<Answer answer={{ ...blocked, missing: ['a banner'] }} max="17.85" />)
    expect(said).toContain(
      'Not to be had: every offer has been withdrawn. unsupported part, left arm: stops the print no banner',
    )
  })

  test('without a price where it cannot be had', () => {
    const gone = {
      ...answer,
      obtainable: false,
      costToTable: null,
      badLuckCost: null,
      score: null,
      breakdown: { ...answer.breakdown, price: null },
    }
    const said = words(<Answer answer={gone} max="17.85" />)
    expect(said).toContain('not to be had + €2.00 looks')
    expect(said).toContain('price not to be had')
    expect(said).toContain('ranked by not to be had')
    expect(said).not.toContain('€0.00')
  })

  test('keeps hostile names as text and an unnamed sculptor unnamed', () => {
    const markup = html(<Answer answer={{ ...answer, title: hostile, remark: hostile, sculptor: null }} max="17.85" />)
    expect(markup).not.toContain('<script')
    expect(markup).toContain('the sculptor asked not to be named')
  })
})

describe('tables and lists', () => {
  test('every value carries the label of its column, for the rows of a phone', () => {
    const columns = [
      { label: 'Unit', head: true, cell: (row: { name: string }) => row.name },
      { label: 'Letters', figures: true, cell: (row: { name: string }) => row.name.length },
    ]
    const markup = html(
      <DataTable caption="Units" columns={columns} rows={[{ name: 'Levy' }]} rowKey={(row) => row.name} />,
    )
    expect(markup).toContain('<th scope="row" role="rowheader">Levy</th>')
    expect(markup).toContain('<td role="cell" class="figures" data-label="Letters"><div class="cell">4</div></td>')
  })

  test('a sum ends in the total it was given', () => {
    const terms = [{ words: 'resin', value: eur('4.20') }]
    expect(words(<SumTable caption="Cost" terms={terms} total={{ words: 'all', value: eur('4.20') }} />)).toBe(
      'Cost resin €4.20 all €4.20',
    )
  })

  test('bases are named by their sides and their shape', () => {
    expect(baseWords({ shape: 'round', widthMm: 27 })).toBe('27 mm round')
    expect(baseWords({ shape: 'oval', widthMm: 38, lengthMm: 62 })).toBe('62 × 38 mm oval')
    expect(baseWords(null)).toBe('no base given')
  })

  test('facts without a value are left out, a zero is not', () => {
    expect(
      words(
        <Facts
          facts={[
            ['Scale', '32 mm'],
            ['Height', null],
            ['Reports', 0],
          ]}
        />,
      ),
    ).toBe('Scale 32 mm Reports 0')
  })

  test('the end of a list has no link to more', () => {
    expect(html(<Pager href={null} />)).toBe('')
    expect(html(<Pager href="?after=b" />)).toContain('rel="next" href="?after=b"')
  })
})

describe('how far the slider of looks reaches', () => {
  test.each([
    ['1.50', '1.50', '5.00', '0.05'],
    ['1.00', '0.00', '5.00', '0.05'],
    ['2.00', '2.00', '10.00', '0.10'],
    ['0.00', '0.00', '5.00', '0.05'],
    ['1.50', '8.00', '8.00', '0.05'],
    // Currencies without minor digits, and with three
    ['150', '150', '500', '5'],
    ['0', '0', '500', '5'],
    ['0.500', '0.500', '2.000', '0.020'],
  ])('worth %s to the group and %s to the reader: to %s by %s', (usual, value, max, step) => {
    expect(sliderRange({ amount: usual }, { amount: value })).toEqual({ max, step })
  })
})
