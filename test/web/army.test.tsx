import { describe, expect, test } from 'vitest'
import { RosterLead, RosterSum, type SavingProps } from '../../web/pages/RosterHead.tsx'
import { type PlannedEntry, RosterPrinting } from '../../web/pages/RosterPrinting.tsx'
import { Army, type Rank } from '../../web/parts/army.tsx'
import type { FigureSize } from '../../web/parts/shadow.tsx'
import { type BarTerm, TwoBars } from '../../web/parts/two-bars.tsx'
import { html, words } from './render.tsx'

const eur = (amount: string) => ({ amount, currency: 'EUR' })

describe('an army', () => {
  const figure = (heightMm: number, isMeasured = true): FigureSize => ({
    shadow: isMeasured
      ? {
          front: [
            [
              [0, 0],
              [20, 0],
              [10, heightMm],
            ],
          ],
          widthMm: 20,
          heightMm,
        }
      : null,
    heightMm,
    base: { shape: 'round', widthMm: 25 },
    scaleMm: 28,
  })
  const rank = (id: string, heightMm: number, counts: Rank['counts']): Rank => ({
    id,
    name: `Unit ${id}`,
    figure: figure(heightMm),
    counts,
  })
  const many = (page: string, what: string) => page.split(what).length - 1

  test('sends one outline an entry, and uses it for every model', () => {
    const page = html(
      <Army
        ranks={[
          rank('a', 30, [['built', 40]]),
          rank('b', 60, [
            ['painted', 1],
            ['to print', 19],
          ]),
        ]}
      />,
    )
    expect(many(page, 'fill-rule="evenodd"')).toBe(2)
    expect(many(page, '<use ')).toBe(60)
    expect(many(page, 'model-to-print')).toBe(19)
    expect(many(page, 'fill="url(#hatch-painted)"')).toBe(1)
    // The large ones stand behind: they come first.
    expect(page.indexOf('Unit b')).toBeLessThan(page.indexOf('Unit a'))
  })

  test('says in words who stands there and how far they are', () => {
    const ranks = [
      rank('a', 30, [
        ['painted', 2],
        ['wanted', 3],
      ]),
    ]
    expect(words(<Army ranks={ranks} />)).toBe('5 × Unit a : 2 painted, 3 wanted: no file yet 1 cm')
  })

  test('draws one figure for all of a kind once there are too many to look at', () => {
    const page = html(
      <Army
        ranks={[
          rank('a', 30, [
            ['built', 40],
            ['to print', 1],
          ]),
          rank('b', 30, [['printed', 80]]),
        ]}
      />,
    )
    expect(many(page, '<use ')).toBe(3)
    expect(words(<Army ranks={[rank('a', 30, [['built', 121]])]} />)).toContain('× 121')
  })

  test('stands at one scale: an em is a centimetre of every figure', () => {
    const page = html(<Army ranks={[rank('a', 27, [['built', 1]]), rank('b', 57, [['built', 1]])]} />)
    // Height, a margin of 1.5 mm twice, and half of a base that is seen 25 x 0.32 mm deep.
    for (const height of [27, 57]) expect(page).toContain(`height="${(height + 3 + 4) / 10}em"`)
  })

  test('a figure that nobody has measured is a dashed box as tall as it is noted, on a base that shows how far it has come', () => {
    const page = html(<Army ranks={[{ ...rank('a', 44, [['built', 2]]), figure: figure(44, false) }]} />)
    expect(page).toContain('y="-44"')
    expect(many(page, '<rect class="model-body shadow-unknown"')).toBe(1)
    expect(page).toContain('shadow-base-empty')
    expect(html(<Army ranks={[rank('a', 44, [['built', 2]])]} />)).not.toContain('shadow-base-empty')
  })
})

describe('the two bars', () => {
  const term = (name: string, kind: BarTerm['kind'], spent: string, toCome: string): BarTerm => ({
    words: name,
    kind,
    spent: eur(spent),
    toCome: eur(toCome),
  })
  const rects = (page: string) =>
    [...page.matchAll(/<rect class="(bar-[^"]*)" x="([\d.]+)%?" y="1" width="([\d.]+)%"/g)].map(
      ([, name, x, width]) => [name, Number(x), Number(width)],
    )

  test('stand on one scale, the spent full, what is to come paler, with a tick between', () => {
    const terms = [term('files', 'price', '20.00', '10.00'), term('resin', 'resin', '5.00', '15.00')]
    const bars = { boxes: eur('200.00'), terms, spent: eur('25.00'), toCome: eur('25.00'), all: eur('50.00') }
    const page = html(<TwoBars {...bars} />)
    expect(rects(page)).toEqual([
      ['bar-boxes', 0, 100],
      ['bar-piece', 0, 10],
      ['bar-piece', 10, 2.5],
      ['bar-piece bar-to-come', 12.5, 5],
      ['bar-piece bar-to-come', 17.5, 7.5],
    ])
    expect(page).toContain('class="bar-tick" x1="12.5%"')
    expect(words(<TwoBars {...bars} />)).toBe(
      'the boxes €200.00 €25.00 spent, €25.00 still to spend €50.00 files €20.00 spent, €10.00 to come resin €5.00 spent, €15.00 to come',
    )
  })

  test('list nothing of zero, and draw no bar for boxes whose price nobody knows', () => {
    const terms = [term('files', 'price', '0.00', '12.00'), term('resin', 'resin', '0.00', '0.00')]
    const bars = { boxes: null, terms, spent: eur('0.00'), toCome: eur('12.00'), all: eur('12.00') }
    expect(words(<TwoBars {...bars} />)).toBe('still to spend €12.00 files €12.00')
    expect(rects(html(<TwoBars {...bars} />))).toEqual([['bar-piece bar-to-come', 0, 100]])
    expect(html(<TwoBars {...bars} terms={[]} all={eur('0.00')} toCome={eur('0.00')} />)).toBe('')
  })

  test('do not say that nothing is to be spent while nobody has planned', () => {
    const nothing = { terms: [], spent: eur('0.00'), toCome: null, all: eur('0.00') }
    expect(words(<TwoBars boxes={eur('70.00')} {...nothing} />)).toBe('the boxes €70.00')
    const begun = { terms: [], spent: eur('9.00'), toCome: null, all: eur('9.00') }
    expect(words(<TwoBars boxes={eur('70.00')} {...begun} />)).toBe('the boxes €70.00 €9.00 spent €9.00')
  })

  test('what came in is taken off what it was paid for', () => {
    const terms = [term('files', 'price', '30.00', '0.00'), term('other', 'other', '-20.00', '0.00')]
    const bars = { boxes: eur('100.00'), terms, spent: eur('10.00'), toCome: eur('0.00'), all: eur('10.00') }
    expect(rects(html(<TwoBars {...bars} />)).at(-1)).toEqual(['bar-piece', 0, 10])
  })
})

describe('the head of a roster', () => {
  const totals = {
    all: eur('106.00'),
    retail: eur('469.00'),
    saving: eur('363.00'),
    savingShare: 0.774,
    savingAtLeast: null,
  }
  const sum = (change: Partial<Record<keyof typeof totals, ReturnType<typeof eur> | number | null>>) =>
    words(<RosterSum hasPlan outOfDate={false} totals={{ ...totals, ...change } as SavingProps['totals']} />)

  test('says what is saved, and is honest where nothing is', () => {
    expect(sum({})).toBe('77 % saved €363.00 less than the boxes Plan again')
    expect(sum({ saving: eur('-12.00'), savingShare: -0.03 })).toBe('€12.00 dearer than the boxes Plan again')
    expect(sum({ saving: eur('0.00'), savingShare: 0 })).toContain('nothing saved')
    expect(sum({ saving: null, savingAtLeast: eur('40.00') })).toContain('€40.00 saved at least')
    expect(sum({ saving: null, retail: eur('0.00') })).toContain('€106.00 all told; no box’s price is known')
    expect(sum({ savingShare: 0.999 })).toContain('99 % saved')
    expect(words(<RosterSum hasPlan={false} outOfDate={false} totals={null} />)).toContain('not planned yet')
    expect(words(<RosterSum hasPlan outOfDate totals={totals} />)).toContain('by a plan that is out of date')
  })

  test('says how many have no stand-in, and whether the group is asked', () => {
    const lead = (missing: { models: number; asked: { requestId: string } | null }[]) =>
      words(<RosterLead models={25} owner={null} missing={missing} isMine />)
    expect(lead([])).toBe('25 models.')
    expect(lead([{ models: 3, asked: { requestId: 'r' } }])).toBe(
      '25 models. Three have no stand-in yet: the group is asked .',
    )
    expect(lead([{ models: 1, asked: null }])).toBe('25 models. One has no stand-in yet: ask the group .')
    expect(lead([{ models: 25, asked: null }])).toBe('25 models. None has a stand-in yet: ask the group .')
  })
})

describe('the printing list of a plan', () => {
  const entry = (change: Partial<PlannedEntry>): PlannedEntry => ({
    entryId: 'e',
    fileId: 'f',
    title: 'Bog Lanterns',
    supportSetId: null,
    supportKind: 'as supplied',
    models: 5,
    copies: 6,
    expectedFailures: 0.4,
    printing: eur('3.00'),
    hours: 4.5,
    plates: 2,
    hoursPerPlate: 2.25,
    resinMl: 30,
    resinG: 33,
    fits: true,
    otherPrinter: null,
    share: 1,
    ...change,
  })
  const unknown = { hours: null, plates: null, hoursPerPlate: null }
  const total = (...entries: PlannedEntry[]) => {
    const totals = { printing: eur('3.00'), resinMl: 30, resinG: 33 }
    const list = <RosterPrinting plan={{ entries, printer: null, resin: null, totals }} names={{}} />
    return words(list).split('All of it')[1]?.split('Resin')[0]
  }

  test('adds up plates and hours as far as they are known, and says how far that is', () => {
    expect(total(entry({}), entry({}))).toContain('4 9 h')
    expect(total(entry({}), entry(unknown))).toContain('at least 2 at least 4 ½ h')
    expect(total(entry(unknown), entry(unknown))).toContain('not known not known')
  })
})
