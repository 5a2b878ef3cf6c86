import { DataTable } from '../parts/data-table.tsx'
import { Section } from '../parts/section.tsx'
import { SumTable } from '../parts/sum-table.tsx'
import { HelpCautions } from './HelpCautions.tsx'
import { HelpWords } from './HelpWords.tsx'

/** What was seen on a failed copy, and how often each cause shows itself so; shares from 0 to 1. */
export interface SeenRow {
  seen: string
  file: number
  machine: number
  plate: number
  /** Says nothing about the cause. */
  isSilent: boolean
}

interface Props {
  seen: SeenRow[]
  /** Where the guesses start before any report; chances from 0 to 1. */
  starts: { what: string; chance: number; worth: number }[]
}

const places: [string, string][] = [
  ['ranking', 'How answers are ranked'],
  ['blame', 'Whose fault a failed print was'],
  ['starts', 'What is believed before any report'],
  ['cautions', 'Working with resin'],
  ['words', 'The words'],
  ['more', 'More'],
]

/** How everything here is counted, what to mind at the machine, and what the words mean. */
export function Help({ seen, starts }: Props) {
  return (
    <>
      <nav aria-label="On this page">
        {places.map(([id, words], index) => (
          <span key={id}>
            {index > 0 && ' · '}
            <a href={`#${id}`}>{words}</a>
          </span>
        ))}
      </nav>
      <Ranking />
      <Blame seen={seen} />
      <Starts starts={starts} />
      <HelpCautions />
      <HelpWords />
      <Section heading="More" id="more">
        <p>
          What the group has settled, and what each number does, is in <a href="/settings">the settings</a>. Programs
          can do everything that the pages can: see <a href="/api">the API</a>.
        </p>
      </Section>
    </>
  )
}

const example = [
  { words: 'price', note: 'the cheapest way to get the file; nothing if you have it already', amount: '9.00' },
  { words: 'resin', note: 'for the 10 good copies', amount: '4.20' },
  { words: 'expected failures', note: 'resin and clean-up of the copies that will likely fail', amount: '1.05' },
  { words: 'time for snags', note: 'minutes of open snags, at what an hour is worth to you', amount: '0.60' },
  { words: 'looks', note: '10 models, 1.00 a model, 20 of 100 would rather not field it', amount: '2.00' },
]

function Ranking() {
  return (
    <Section heading="How answers are ranked" id="ranking">
      <p>
        By one sum of money, the lowest first. It is what an answer costs until everything stands on the table, plus
        what it is worth to you that the group would field it. Each answer shows its own sum under “Why this order”. For
        ten models it could read like this:
      </p>
      <SumTable
        caption="An example"
        terms={example.map(({ amount, ...term }) => ({ ...term, value: { amount, currency: 'EUR' } }))}
        total={{ words: 'ranked by', value: { amount: '16.85', currency: 'EUR' } }}
      />
      <ul>
        <li>
          <strong>Expected failures</strong> come from how well the file prints: if 9 of 10 copies come out good, ten
          good ones take about eleven tries. Nobody is charged more than twenty tries for one copy.
        </li>
        <li>
          <strong>Bad luck</strong> is said beside the sum: nine times in ten you pay no more than that.
        </li>
        <li>
          <strong>Looks</strong> are models times what looks are worth a model times the share that would not field the
          file. The share is counted with two yes and two no added, so that one vote of one does not beat thirty of
          thirty-two (Agresti and Coull 1998). The group sets what looks are worth; on a request you can move it for
          yourself.
        </li>
        <li>
          Answers that can't be had any more, and those that an open snag blocks, come after all others, in the same
          order.
        </li>
        <li>
          By default the sum is for a machine in good order and a plate neither loose nor packed. Ask for your own, and
          your printer, your files and your memberships count.
        </li>
      </ul>
    </Section>
  )
}

const inHundred = (share: number, isSilent: boolean) => (isSilent ? 'says nothing' : Math.round(share * 100))

function Blame({ seen }: Pick<Props, 'seen'>) {
  return (
    <Section heading="Whose fault a failed print was" id="blame">
      <p>
        A copy comes out good only if three things held: the <strong>file</strong> with its supports, the{' '}
        <strong>machine</strong> since its last upkeep, and the <strong>plate</strong>, as full as it was. When one
        fails nobody knows for sure which. So reports ask what you <em>saw</em>, not whom you blame, and the blame is
        worked out from three things together: what was seen, how this file fares on other machines, and how this
        machine fares with other files.
      </p>
      <p>
        A file that fails on one worn machine and prints well on five others is hardly blamed; a machine on which every
        file fails is. Where only one machine has ever tried a file, the page says that it can't be told yet.
      </p>
      <DataTable
        caption="Of 100 copies that failed for one cause alone, how many show it so (common practice, no source)"
        rows={seen}
        rowKey={(row) => row.seen}
        columns={[
          { label: 'Seen', head: true, cell: (row) => row.seen },
          { label: 'The file', figures: true, cell: (row) => inHundred(row.file, row.isSilent) },
          { label: 'The machine', figures: true, cell: (row) => inHundred(row.machine, row.isSilent) },
          { label: 'The plate', figures: true, cell: (row) => inHundred(row.plate, row.isSilent) },
        ]}
      />
      <ul>
        <li>Read it along a line: only how a line's three numbers compare matters.</li>
        <li>
          Copies of one plate share their fate. Ten that fail together say less than ten that fail one by one, and count
          so.
        </li>
        <li>
          What one member reports of one file on one printer between two upkeeps counts in full up to ten copies, then
          less and less, and never more than twenty.
        </li>
        <li>
          If a member’s reports contradict everybody else’s of the same files so plainly that one habit, such as always
          blaming the file, explains them a hundred times better than plain reporting, they count half. Only stewards
          and that member are told.
        </li>
        <li>
          A report on an older revision of a file counts half, and a fifth if a snag on its supports was fixed since;
          for the machine and the plate it counts in full.
        </li>
        <li>
          The line with a dot says between which shares of good copies the truth lies, four times in five. Few reports,
          long line.
        </li>
        <li>
          After a report you read what to do about it: look at the film, print fewer at once, or take other supports.
        </li>
      </ul>
    </Section>
  )
}

function Starts({ starts }: Pick<Props, 'starts'>) {
  return (
    <Section heading="What is believed before any report" id="starts">
      <p>
        Something has to be believed at first. A new file starts from how its sculptor's other files print, a new
        sculptor from the group's files, a printer afresh after each upkeep. As reports come in, these beginnings fade,
        and the group's own figures take their place.
      </p>
      <DataTable
        caption="Where it starts (common practice, no source)"
        rows={starts}
        rowKey={({ what }) => what}
        columns={[
          { label: 'Of', head: true, cell: ({ what }) => what },
          { label: 'Come out good', figures: true, cell: ({ chance }) => `${Math.round(chance * 100)} of 100` },
          { label: 'Weighs as much as', figures: true, cell: ({ worth }) => `${Math.round(worth)} copies` },
        ]}
      />
    </Section>
  )
}
