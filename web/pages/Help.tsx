import { Section } from '../parts/section.tsx'
import { SumTable } from '../parts/sum-table.tsx'
import { HelpBlame } from './HelpBlame.tsx'
import { HelpCautions } from './HelpCautions.tsx'
import { type FiguresProps, Starts } from './HelpFigures.tsx'
import { HelpWords } from './HelpWords.tsx'

const places: [string, string][] = [
  ['ranking', 'How answers are ranked'],
  ['figures', 'What a figure means'],
  ['blame', 'Whose fault a failed print was'],
  ['starts', 'What is expected before any report'],
  ['cautions', 'Working with resin'],
  ['words', 'The words'],
  ['more', 'More'],
]

/** How everything here is counted, what to mind at the machine, and what the words mean. */
export function Help(figures: FiguresProps) {
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
      <Figures />
      <HelpBlame {...figures} />
      <Starts {...figures} />
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
  { words: 'plates', note: 'the two that the good copies take, at 1.00', amount: '2.00' },
  { words: 'expected failures', note: 'resin, clean-up and place on a plate of those that will fail', amount: '3.05' },
  { words: 'time for snags', note: 'minutes of open snags, at what an hour is worth to you', amount: '0.60' },
  { words: 'looks', note: '10 models, 1.00 a model, 20 of 100 would rather not field it', amount: '2.00' },
]

function Ranking() {
  return (
    <Section heading="How answers are ranked" id="ranking">
      <p>
        The large figure of an answer is what it costs until everything stands on the table. Beside it is what it is
        worth to you that the group would field it. Answers are ranked by both together, the lowest first; each shows
        its sum under “Why this order”. For ten models it could read like this:
      </p>
      <SumTable
        caption="An example"
        terms={example.map(({ amount, ...term }) => ({ ...term, value: { amount, currency: 'EUR' } }))}
        total={{ words: 'ranked by', value: { amount: '20.85', currency: 'EUR' } }}
      />
      <ul>
        <li>
          <strong>Plates</strong> cost film, gloves, alcohol and power, whatever is on them. How many copies go on one
          comes from base and printer; where the file does not say its base, a round one of 32 mm is taken, and where no
          printer is asked for, a small one.
        </li>
        <li>
          <strong>Expected failures</strong> are worked out from how many copies come out all in. If 8 of 10 do, ten
          good ones take about twelve or thirteen. Each failed copy costs its resin, its clean-up and its place on
          another plate; a plate on which anything failed costs its own clean-up. Nobody is charged more than twenty
          tries for one copy.
        </li>
        <li>
          <strong>Bad luck</strong> is said beside the sum: nine times in ten you pay no more than that.
        </li>
        <li>
          <strong>Looks</strong> are models times what looks are worth a model times the share that would not field the
          file. To its votes four more are added that fall as the group votes in general, so that one vote of one does
          not beat thirty of thirty-two, and a file without votes is one like the others. The group sets what looks are
          worth; on a request you can move it for yourself.
        </li>
        <li>
          What lacks a must-have comes after all that cover everything; then what can't be had, which has no price; last
          what an open snag stops.
        </li>
        <li>
          By default the sum is for a machine in good order and plates about full. Ask for your own, and your printer as
          it is now, your files and your memberships count.
        </li>
        <li>
          Copies <strong>to print</strong> are whole ones, enough for the failures to be expected, and plates, hours and
          resin are of these. What is charged is the average, and is called so.
        </li>
      </ul>
    </Section>
  )
}

function Figures() {
  return (
    <Section heading="What a figure means" id="figures">
      <ul>
        <li>
          “About 8 of 10 come out good on a printer in good order” is <strong>all in</strong>: file, machine and plate
          together. That is what you will see, and what failures are charged by.
        </li>
        <li>
          “The file alone 84-94 of 100” leaves machine and plate out. It is for comparing files, and it is always
          higher.
        </li>
        <li>
          The line with a dot says between which shares of good copies the truth lies, four times in five. Few reports,
          long line; a hollow dot is a guess from other files.
        </li>
        <li>
          “In good order” is a machine after upkeep, not the middle of machines some of which are worn. “As it is now”
          is yours with its film as old as it is, on its next plate.
        </li>
        <li>
          “46 copies” are the copies' worth of reports behind a figure. A report on an older revision of a file counts
          half for every revision since, and a fifth where a snag on its supports was mended in between; for the machine
          and the plate it counts in full.
        </li>
      </ul>
    </Section>
  )
}
