import { DataTable } from '../parts/data-table.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'

export interface Sums {
  offers: MoneyValue
  printing: MoneyValue
  money: MoneyValue
}

/** What one would do without planning. */
export type ComparedSums = Sums & { kind: string; looks: MoneyValue; decides: MoneyValue; uncovered: number }
/** What each theme would come to. */
export type ThemeSums = Sums & { styleTag: string | null; uncovered: number; chosenBy: MoneyValue }

interface Props {
  naive: ComparedSums[]
  themes: ThemeSums[]
  asPlanned: Omit<ComparedSums, 'kind'>
}

/** What it would come to otherwise: money that is paid, and looks that are not. */
export function RosterBeside({ naive, themes, asPlanned }: Props) {
  const rows = [
    { words: 'This plan', ...asPlanned },
    ...naive.map((one) => ({ words: naiveWords[one.kind] ?? one.kind, ...one })),
  ]
  return (
    <div id="beside">
      <p class="quiet">
        A plan may cost more money and be liked better. It leaves out as few entries as it can; among such plans the
        smallest sum decides: what is paid and what its looks lack, less what a theme or a split is worth to you.
      </p>
      <DataTable
        caption="Other ways of choosing"
        captionHidden
        rows={rows}
        rowKey={({ words }) => words}
        columns={[
          { label: 'Choosing', head: true, cell: ({ words }) => words },
          { label: 'Bought', figures: true, cell: ({ offers }) => <Money value={offers} /> },
          { label: 'Printed', figures: true, cell: ({ printing }) => <Money value={printing} /> },
          { label: 'Together', figures: true, cell: ({ money }) => <Money value={money} /> },
          { label: 'Its looks lack', figures: true, cell: ({ looks }) => <Money value={looks} /> },
          {
            label: 'Sum that decides',
            figures: true,
            cell: ({ decides }) => (
              <strong>
                <Money value={decides} />
              </strong>
            ),
          },
          { label: 'Left out', figures: true, cell: ({ uncovered }) => uncovered || '' },
        ]}
      />
      {themes.length > 1 && <Themes themes={themes} />}
    </div>
  )
}

function Themes({ themes }: Pick<Props, 'themes'>) {
  return (
    <DataTable
      caption="With and without the theme"
      rows={themes}
      rowKey={({ styleTag }) => styleTag ?? ''}
      columns={[
        { label: 'Theme', head: true, cell: ({ styleTag }) => styleTag ?? 'none' },
        { label: 'Together', figures: true, cell: ({ money }) => <Money value={money} /> },
        { label: 'Sum that decides', figures: true, cell: ({ chosenBy }) => <Money value={chosenBy} /> },
        { label: 'Left out', figures: true, cell: ({ uncovered }) => uncovered },
      ]}
    />
  )
}

const naiveWords: Record<string, string> = {
  'cheapest file of each': 'For each entry the cheapest file',
  'cheapest to print of each': 'For each entry the cheapest to buy and print',
  'what there is first': 'What you have first, then the cheapest',
  'offer by offer': 'Offer by offer, as each pays best',
}
