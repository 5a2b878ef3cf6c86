import { Actions, Button } from '../parts/button.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { Form } from '../parts/form.tsx'
import { Facts } from '../parts/section.tsx'

interface Props {
  /** The last time that everything was worked out anew; null before the first. */
  fit: { fittedAt: string | null; reports: number; since: number; sweeps: number; capped: boolean }
  /** For stewards. */
  renewing?: { hidden: Record<string, string> } | undefined
}

/** How fresh the group's estimates are: what was worked out from all reports, and what was learnt one by one since. */
export function Estimates({ fit, renewing }: Props) {
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
      <p>
        <a href="/help#blame">What is worked out, and from what</a>
      </p>
    </>
  )
}
