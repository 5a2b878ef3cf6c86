import { ArmyInMiniature, ArmyState, type Rank } from '../parts/army.tsx'
import { ButtonLink, Pager, Section } from '../parts/blocks.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { counted } from '../parts/numbers.ts'
import { Shadow } from '../parts/shadow.tsx'
import { type PlannedStep, plannedStepWords, stepHref } from '../parts/step-words.ts'
import { Saved, type SavingProps } from './RosterHead.tsx'

export interface ListedRoster {
  id: string
  name: string
  owner: { name: string }
  shared: boolean
  entries: number
  models: number
  /** Those of its entries that are drawn. */
  ranks: Rank[]
  /** What its owner alone is told. */
  own: {
    stages: Rank['counts'][]
    /** Models whose file is still to be bought. */
    toBuy: number
    /** Null before it is planned. */
    totals: SavingProps['totals']
    outOfDate: boolean
    boxes: MoneyValue
    /** Whether every entry's box has a known price. */
    isPriced: boolean
    next: PlannedStep | null
  } | null
}

interface Props {
  mine: ListedRoster[]
  others: ListedRoster[]
  /** Addresses of the rest of each list. */
  next: { mine: string | null; others: string | null }
  isFirstPage: boolean
}

/** The main button of the page. */
export function PasteOne() {
  return (
    <ButtonLink main href="/rosters/new">
      Paste a list
    </ButtonLink>
  )
}

/** One's own rosters as they stand, and those that the others share. */
export function Rosters({ mine, others, next, isFirstPage }: Props) {
  return (
    <>
      <Section heading="My rosters" id="mine">
        {mine.length === 0 && isFirstPage ? <NoneYet canCopy={others.length > 0} /> : <Rows rosters={mine} />}
        <Pager href={next.mine} />
      </Section>
      {others.length > 0 && (
        <Section heading="Everyone else’s" id="others">
          <Rows rosters={others} />
          <Pager href={next.others} />
        </Section>
      )}
    </>
  )
}

/** What a roster is for, and how one begins; beside it an army that nobody has a file for yet. */
function NoneYet({ canCopy }: { canCopy: boolean }) {
  const figure = { shadow: null, base: { shape: 'round', widthMm: 32 }, scaleMm: 32 } as const
  return (
    <div class="empty-state no-rosters">
      <p class="no-rosters-rank">
        {[1, 2, 3, 4, 5].map((place) => (
          <Shadow key={place} figure={figure} pxPerMm={1.4} stage="wanted" />
        ))}
      </p>
      <p class="empty-state-words">No army here yet. Paste its list, a unit a line: “10 x Fen Wardens”.</p>
      <p>
        You see which units the group knows a stand-in for, can ask for the others at once, and get a list of what to
        buy and what to print, with its cost against the price of the boxes.
      </p>
      <p>
        <a href="/rosters/new">Paste a list</a>
        {canCopy && (
          <>
            , or open one of the <a href="#others">rosters below</a> and copy it
          </>
        )}
        . <a href="/help#rosters">How rosters work</a>
      </p>
    </div>
  )
}

function Rows({ rosters }: { rosters: ListedRoster[] }) {
  return (
    <ul class="roster-rows">
      {rosters.map((roster) => (
        <Row key={roster.id} roster={roster} />
      ))}
    </ul>
  )
}

function Row({ roster }: { roster: ListedRoster }) {
  const { id, name, ranks, entries, own } = roster
  return (
    <li class="roster-row">
      <div class="roster-row-head">
        <h3>
          <a href={`/rosters/${id}`}>{name}</a>
        </h3>
        <p class="quiet">{aboutWords(roster)}</p>
      </div>
      {own && entries > 0 && <Worth own={own} />}
      <div class="roster-row-army">
        {ranks.length > 0 && <ArmyInMiniature ranks={ranks} more={entries - ranks.length} tellsStages={own !== null} />}
        {own && <ArmyState ranks={own.stages.map((counts) => ({ counts }))} toBuy={own.toBuy} />}
        {own && <Next id={id} own={own} isEmpty={entries === 0} />}
      </div>
    </li>
  )
}

/** "108 models, 11 entries; the group may read it" */
export function aboutWords({ models, entries, shared, owner, own }: ListedRoster): string {
  const count = `${counted(models, 'model')}, ${counted(entries, 'entry', 'entries')}`
  const whose = own ? (shared ? 'the group may read it' : 'nobody else sees it') : `${owner.name}’s`
  return `${entries === 0 ? 'No models' : count}; ${whose}`
}

/** What it saves against the boxes, or what they would cost. */
function Worth({ own: { totals, outOfDate, boxes, isPriced } }: { own: NonNullable<ListedRoster['own']> }) {
  if (totals) return <Saved totals={totals} outOfDate={outOfDate} />
  return (
    <p class="saved">
      <span class="sum">not planned yet</span>
      {Number(boxes.amount) > 0 && (
        <small>
          the boxes <Money value={boxes} />
          {!isPriced && ', as far as their price is known'}
        </small>
      )}
    </p>
  )
}

/** By the rule and in the words of the page of requests; where nothing is to be done now, why. */
function Next({
  id,
  own: { next, stages },
  isEmpty,
}: {
  id: string
  own: NonNullable<ListedRoster['own']>
  isEmpty: boolean
}) {
  if (next)
    return (
      <p>
        <strong>Next:</strong> <a href={stepHref(id, next)}>{plannedStepWords(next)}</a>
      </p>
    )
  if (isEmpty)
    return (
      <p>
        <strong>Next:</strong> <a href={`/rosters/${id}#list`}>paste its list</a>
      </p>
    )
  const isWaiting = stages.some((counts) => counts.some(([stage]) => stage === 'wanted'))
  return <p class="quiet">{isWaiting ? 'What is left waits for a stand-in.' : 'All of it is painted.'}</p>
}
