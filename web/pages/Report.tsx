import { Actions, Button, ButtonLink } from '../parts/button.tsx'
import { Caution } from '../parts/caution.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { Form } from '../parts/form.tsx'
import { Facts, Section } from '../parts/section.tsx'
import { VerdictBar } from '../parts/verdict-bar.tsx'
import { failuresWords } from './ReportTable.tsx'

interface Props {
  report: {
    id: string
    member: { id: string; name: string }
    file: { id: string; title: string }
    supportSet: { kind: string; revision: string }
    printer: { id: string; name: string }
    printedOn: string
    tried: number
    good: number
    failures: { seen: string; copies: number }[]
    crowding: string
    remark: string
  }
  verdict: {
    file: number
    machine: number
    plate: number
    advice: { code: string; words: string }[]
    canTell: boolean
    /** Day of the printer's first upkeep after this plate; null if there was none. */
    upkeepSince: string | null
  }
  isMine: boolean
  /** Left out where this reader may not remove it. */
  remove?: Record<string, string> | undefined
}

/** How a plate came out and, where copies failed, whose fault it was and what to do first. */
export function Report({ report, verdict, isMine, remove }: Props) {
  return (
    <>
      {report.failures.length === 0 ? (
        <Section heading="All good">
          <p>
            Every copy came out good. That counts for the file, the printer and the way the plate was filled alike; the
            next member sees it in the figures.
          </p>
        </Section>
      ) : (
        <Section heading="Whose fault was it?">
          <VerdictBar verdict={verdict} />
          <WhatFirst advice={verdict.advice} />
          <NextSteps report={report} verdict={verdict} isMine={isMine} />
          <p class="quiet">
            Worked out from what was seen, what others reported of this file, and how the printer did between its
            upkeeps. <a href="/help#blame">How that is done</a>, <a href="/estimates">how fresh it is</a>
          </p>
        </Section>
      )}
      <Section heading="The report">
        <Facts
          facts={[
            ['File', <a href={`/files/${report.file.id}`}>{report.file.title}</a>],
            ['Supports', `${report.supportSet.kind}, of revision ${report.supportSet.revision}`],
            ['Printer', <a href={`/printers/${report.printer.id}`}>{report.printer.name}</a>],
            ['Printed on', <DateWords on={report.printedOn} as="both" />],
            ['Came out', `${report.good} of ${report.tried} good`],
            ['Seen on the failed ones', report.failures.length > 0 && failuresWords(report.failures)],
            ['Plate', crowdingWords[report.crowding] ?? report.crowding],
            ['Reported by', <a href={`/members/${report.member.id}`}>{report.member.name}</a>],
            ['Remark', report.remark && <span class="as-typed">{report.remark}</span>],
          ]}
        />
        {isMine && (
          <Actions>
            <ButtonLink main={report.failures.length === 0} href={`/reports/new?fileId=${report.file.id}`}>
              Report another plate of it
            </ButtonLink>
            <ButtonLink href={`/reports/${report.id}/edit`}>Change this report</ButtonLink>
          </Actions>
        )}
        {remove && <Remove id={report.id} hidden={remove} />}
      </Section>
      <Caution />
    </>
  )
}

const crowdingWords: Record<string, string> = { loose: 'half empty', normal: 'about full', packed: 'packed' }

/** What to do first, with its reason, and what then. */
function WhatFirst({ advice }: { advice: Props['verdict']['advice'] }) {
  if (advice.length === 0)
    return <p>Nothing stands out yet. The next reports of this file and on this printer will tell more.</p>
  const [only] = advice
  return (
    <>
      <h3>What to do first</h3>
      {advice.length === 1 ? (
        <p>{only?.words}</p>
      ) : (
        <ol class="advice">
          {advice.map(({ code, words }) => (
            <li key={code}>{words}</li>
          ))}
        </ol>
      )}
    </>
  )
}

/** What can be done about it from here, by the most pressing advice. */
function NextSteps({ report, verdict, isMine }: Pick<Props, 'report' | 'verdict' | 'isMine'>) {
  const codes = verdict.advice.map(({ code }) => code)
  const toPrinter = codes.includes('look at the printer')
  const toFile = codes.includes('other supports or another file')
  return (
    <Actions>
      {toPrinter && (
        <ButtonLink main href={`/printers/${report.printer.id}#upkeep`}>
          {isMine && verdict.upkeepSince === null ? 'Note what you did to the printer' : 'What was done to the printer'}
        </ButtonLink>
      )}
      {toFile && (
        <ButtonLink main={!toPrinter} href={`/files/${report.file.id}`}>
          See the file's supports and snags
        </ButtonLink>
      )}
    </Actions>
  )
}

function Remove({ id, hidden }: { id: string; hidden: Record<string, string> }) {
  return (
    <Disclosure summary="Remove this report">
      <p>What was learnt from it goes with it. A report that was right should stay, however it came out.</p>
      <Form action={`/reports/${id}/remove`} hidden={hidden}>
        <Button>Remove it for good</Button>
      </Form>
    </Disclosure>
  )
}
