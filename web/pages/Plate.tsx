import { Actions, ButtonLink, Caution, Section } from '../parts/blocks.tsx'
import { FoldedPress, type SentForm } from '../parts/button-form.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { counted } from '../parts/numbers.ts'
import type { ShownPicture } from '../parts/picture.tsx'
import { outOfHundred, type Shares, stageWords, type Verdict, VerdictBar } from '../parts/verdict-bar.tsx'
import { type PlateCount, PlateCounts } from './PlateCounts.tsx'
import { PlatePictures } from './PlatePictures.tsx'
import { failuresWords, type ReportRow } from './ReportTable.tsx'

interface Print extends Omit<ReportRow, 'printedOn' | 'member' | 'crowding'> {
  mendedMinutes: number | null
}

interface Props {
  plate: {
    id: string
    member: { id: string; name: string }
    printer: { id: string; name: string }
    printedOn: string
    crowding: string
    /** From what its copies cover; else the member said so. */
    crowdingWorkedOut: boolean
    remark: string
    told: boolean
    prints: Print[]
  }
  verdict: Verdict & {
    prints: ({ id: string } & Shares)[]
    counted: boolean
    advice: { code: string; words: string }[]
    wouldTell: string | null
    /** Day of the printer's first upkeep after this plate; null if there was none. */
    upkeepSince: string | null
  }
  isMine: boolean
  /** What its prints count for in the reader's rosters, or may. */
  counts: PlateCount[]
  pictures: (ShownPicture & { id: string; file: { title: string }; mayChange: boolean })[]
  /** The form for further ones. */
  adding: SentForm
  /** Left out where this reader may not remove it. */
  remove?: Record<string, string> | undefined
}

/** How a plate came out and, where copies failed, whose fault it was and what to do first. */
export function Plate(props: Props) {
  const { plate, remove } = props
  return (
    <>
      {plate.told ? <Outcome {...props} /> : <StillWet {...props} />}
      {plate.told && <PlatePictures {...props} />}
      <Section heading="The plate">
        <PlateWords plate={plate} />
        <PlateCounts plate={plate} counts={props.counts} hidden={props.adding.hidden} />
        {props.isMine && plate.told && <Again plate={plate} />}
        {remove && (
          <FoldedPress
            class="form"
            summary="Remove this report"
            action={`/plates/${plate.id}/remove`}
            hidden={remove}
            button="Remove it for good"
          >
            Then it no longer counts. A true report should stay, however the print came out.
          </FoldedPress>
        )}
      </Section>
      <Caution />
    </>
  )
}

/** Noted with gloves on; what was on it, and what it looked like, comes later. */
function StillWet({ plate, isMine }: Props) {
  return (
    <Section heading="Nothing usable">
      <p>What was on it has not been reported yet, so it does not count. Once it is, it counts like any other plate.</p>
      {isMine && (
        <Actions>
          <ButtonLink main href={`/plates/${plate.id}/edit`}>
            Report it in full
          </ButtonLink>
        </Actions>
      )}
    </Section>
  )
}

function Outcome({ plate, verdict, isMine }: Props) {
  if (plate.prints.every(({ failures }) => failures.length === 0))
    return (
      <section class="section">
        <h2 class="verdict-words">All good</h2>
        <p>
          Every copy came out good. That speaks for the file, the printer and how full the plate was; the next member
          sees it in the figures.
        </p>
      </section>
    )
  return (
    <section class="section">
      <VerdictBar verdict={verdict} />
      {verdict.wouldTell && <p>{verdict.wouldTell}</p>}
      {plate.prints.length > 1 && <ByPrint plate={plate} verdict={verdict} />}
      <WhatFirst advice={verdict.advice} />
      <NextSteps plate={plate} verdict={verdict} isMine={isMine} />
      <p class="quiet">
        Worked out from what was seen, what others reported of {plate.prints.length > 1 ? 'these files' : 'this file'},
        and how the printer did between its upkeeps. <a href="/help#blame">How that is done</a>,{' '}
        <a href="/settings#estimates">how fresh it is</a>
        {!verdict.counted && '. The group’s figures don’t count this plate yet.'}
      </p>
    </section>
  )
}

/** Who printed what, where and when, and how each print came out: as one would say it. */
function PlateWords({ plate }: Pick<Props, 'plate'>) {
  return (
    <>
      <p>
        <a href={`/members/${plate.member.id}`}>{plate.member.name}</a> printed it on{' '}
        <a href={`/printers/${plate.printer.id}`}>{plate.printer.name}</a>, <DateWords on={plate.printedOn} as="both" />
        {plate.told && `, ${plate.crowding}${plate.crowdingWorkedOut ? ', as worked out' : ''}`}.
      </p>
      {plate.prints.length > 0 && (
        <ul class="plain-list">
          {plate.prints.map((print) => (
            <li key={print.id}>
              <PrintWords print={print} />
            </li>
          ))}
        </ul>
      )}
      {plate.remark && <p class="said as-typed">“{plate.remark}”</p>}
    </>
  )
}

function PrintWords({ print }: { print: Print }) {
  return (
    <>
      <a href={`/files/${print.file.id}`}>{print.file.title}</a>, {print.supportSet.kind}, of revision{' '}
      {print.supportSet.revision}:{' '}
      <strong>
        {print.good} of {print.tried} good
      </strong>
      {print.failures.length > 0 &&
        `; seen on the failed ${print.tried - print.good === 1 ? 'one' : 'ones'}: ${failuresWords(print.failures)}`}
      {print.mended > 0 && `; mended by hand: ${mendedWords(print)}`}.
    </>
  )
}

/** Each print's share of the blame. */
function ByPrint({ plate, verdict }: Pick<Props, 'plate' | 'verdict'>) {
  const rows = verdict.prints.flatMap(({ id, ...shares }) => {
    const print = plate.prints.find((one) => one.id === id)
    return print ? [{ ...print, hundred: outOfHundred(stages.map((stage) => shares[stage])) }] : []
  })
  return (
    <DataTable
      caption="Print by print, out of 100 such failures"
      rows={rows}
      rowKey={({ id }) => id}
      columns={[
        { label: 'File', head: true, cell: ({ file }) => <a href={`/files/${file.id}`}>{file.title}</a> },
        { label: 'Failed', figures: true, cell: ({ tried, good }) => `${tried - good} of ${tried}` },
        ...stages.map((stage, index) => ({
          label: stageWords(verdict.isHalfEmpty)[stage],
          figures: true,
          cell: ({ hundred }: (typeof rows)[number]) => hundred[index],
        })),
      ]}
    />
  )
}

const stages = ['file', 'machine', 'plate'] as const

const mendedWords = ({ mended, mendedMinutes }: Print) =>
  mendedMinutes === null ? String(mended) : `${mended}, in ${counted(mendedMinutes, 'minute')}`

function Again({ plate }: Pick<Props, 'plate'>) {
  const isAllGood = plate.prints.every(({ failures }) => failures.length === 0)
  return (
    <Actions>
      <ButtonLink main={isAllGood} href={`/reports/new?fileId=${plate.prints[0]?.file.id}`}>
        Report another plate of it
      </ButtonLink>
      <ButtonLink href={`/plates/${plate.id}/edit`}>Change this report</ButtonLink>
    </Actions>
  )
}

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
function NextSteps({ plate, verdict, isMine }: Pick<Props, 'plate' | 'verdict' | 'isMine'>) {
  const codes = verdict.advice.map(({ code }) => code)
  const toPrinter = codes.includes('look at the printer')
  const failed = plate.prints.filter(({ failures }) => failures.length > 0)
  return (
    <Actions>
      {toPrinter && (
        <ButtonLink main href={`/printers/${plate.printer.id}#upkeep`}>
          {isMine && verdict.upkeepSince === null ? 'Note what you did to the printer' : 'What was done to the printer'}
        </ButtonLink>
      )}
      {codes.includes('other supports or another file') &&
        failed.map(({ id, file }) => (
          <ButtonLink key={id} main={!toPrinter && failed.length === 1} href={`/files/${file.id}`}>
            {failed.length === 1 ? "See the file's supports and snags" : `Supports and snags of ${file.title}`}
          </ButtonLink>
        ))}
    </Actions>
  )
}
