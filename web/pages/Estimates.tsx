import { Actions, Button } from '../parts/button.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { Form } from '../parts/form.tsx'
import { Facts, Section } from '../parts/section.tsx'

interface Doubted {
  id: string
  name: string
  reports: number
  surprise: number
  habit: string
  weight: number
}

interface Props {
  /** The last time that everything was worked out anew; null before the first. */
  fit: { fittedAt: string | null; reports: number; since: number; sweeps: number; capped: boolean }
  /** Whose reports count less; for stewards all, for others oneself alone. */
  doubted: Doubted[]
  isSteward: boolean
  /** For stewards. */
  renewing?: { hidden: Record<string, string> } | undefined
}

/** How fresh the group's estimates are: what was worked out from all reports, and what was learnt one by one since. */
export function Estimates({ fit, doubted, isSteward, renewing }: Props) {
  return (
    <>
      <p>
        Every report is learnt from as it comes: it counts at once for its file, its sculptor and its printer. How much
        a full plate harms, and how much the group's printers and sculptors differ, is worked out from all reports
        together now and then.
      </p>
      {fit.fittedAt === null ? (
        <EmptyState words="That has not been done yet: the figures start from what is usual in the trade." />
      ) : (
        <Facts
          facts={[
            ['Worked out from all reports', <DateWords on={fit.fittedAt} as="both" />],
            ['Reports then', fit.reports],
            ['Reports since, learnt from one by one', String(fit.since)],
            ['Rounds it took', fit.capped ? `${fit.sweeps}, stopped before nothing moved any more` : fit.sweeps],
          ]}
        />
      )}
      {renewing && (
        <Form action="/estimates" hidden={renewing.hidden}>
          <Actions>
            <Button>Work everything out anew</Button>
          </Actions>
        </Form>
      )}
      {doubted.length > 0 && (
        <Section heading={isSteward ? 'Whose reports count half' : 'Your reports count half'} id="doubted">
          <p>
            {isSteward ? 'Their reports do' : 'They do'} not fit what everybody else reports of the same files: what
            stands below explains them at least 100 times better than plain reporting. There may be a harmless reason
            for it. It is worked out anew each time, from the reports alone.
          </p>
          <Facts facts={doubted.map((one) => [isSteward ? one.name : 'You', wordsOf(one)])} />
        </Section>
      )}
      <p>
        <a href="/help#blame">What is worked out, and from what</a>
      </p>
    </>
  )
}

const habitWords: Record<string, string> = {
  'says file whatever it was': 'as if what was seen always pointed at the file',
  'says printer whatever it was': 'as if what was seen always pointed at the printer',
  'says plate whatever it was': 'as if what was seen always pointed at the plate',
  'leaves out plates that came out': 'as if plates that came out were left out',
  'leaves out plates that failed': 'as if plates that failed were left out',
}

function wordsOf({ reports, habit }: Doubted): string {
  return `${reports === 1 ? '1 report' : `${reports} reports`}, ${habitWords[habit] ?? habit}`
}
