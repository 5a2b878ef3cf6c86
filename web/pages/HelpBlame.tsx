import { Section } from '../parts/section.tsx'
import { type FiguresProps, Habits, SeenTable } from './HelpFigures.tsx'

/** How it is found out whose fault a failed print was. */
export function HelpBlame(figures: FiguresProps) {
  return (
    <Section heading="Whose fault a failed print was" id="blame">
      <p>
        A copy comes out good only if three things held: the <strong>file</strong> with its supports, the{' '}
        <strong>machine</strong> since its last upkeep, and the <strong>plate</strong>, as full as it was. When one
        fails nobody knows for sure which. So reports ask what you <em>saw</em>, not whom you blame, and the blame is
        worked out from all of the group's plates together: what was seen, how this file fares on other machines, how
        this machine fares with other files, and what else was on the plate.
      </p>
      <p>
        A file that fails on one worn machine and prints well on five others is hardly blamed; a machine on which every
        file fails is. Where only one machine has ever tried a file, the page says that it can't be told yet.
      </p>
      <SeenTable {...figures} />
      <Habits {...figures} />
      <ul>
        <li>
          Read the table along a line: how a line's three numbers compare is what matters. “Don't know” says nothing
          about the cause. A copy for which two things failed at once shows either.
        </li>
        <li>
          Machine and plate are shared by everything on a plate, supports by the copies of one file. So ten copies that
          fail together say less than ten that fail one by one; how much less, the group learns. To begin with, a
          machine is expected to take most of a plate when it fails, as with a torn film, and a full plate a few of its
          copies.
        </li>
        <li>
          A machine is in order after upkeep and is worn from some plate on. From which one, and how likely it is worn
          by now, is worked out from its plates; its page shows it. How it does now is told by its latest plates most,
          since a worn film goes on fading.
        </li>
        <li>
          What one member reports of one file on one printer between two upkeeps counts in full up to ten copies; of
          those beyond, the square root of their number counts.
        </li>
        <li>
          The verdict is there at once, from what was known before and the plate itself. A few seconds later everything
          is worked out anew with the plate in it (in a large group up to an hour later), and the verdict may change a
          little.
          {waitingWords(figures)} <a href="/estimates">How fresh the estimates are</a>
        </li>
        <li>
          After a report you read what to do about it: look at the film, print fewer at once, or take other supports.
        </li>
      </ul>
    </Section>
  )
}

function waitingWords({ learnt }: FiguresProps): string {
  if (!learnt) return ''
  if (learnt.notCounted === 0) return ' Just now every plate is counted.'
  return learnt.notCounted === 1
    ? ' Just now 1 plate is not counted yet.'
    : ` Just now ${learnt.notCounted} plates are not counted yet.`
}
