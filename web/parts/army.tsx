import { hatch } from './hatching.tsx'
import { Body, bodyOf, type FigureSize, Ground, roomOf, type Stage, tenth } from './shadow.tsx'

/** The models of an entry: what they are drawn by, and how many have come how far, the furthest first. */
export interface Rank {
  id: string
  name: string
  figure: FigureSize
  counts: [stage: Stage, models: number][]
}

/** A larger army shows one model for all that have come equally far. */
const mostDrawn = 120

/** Sizes that an army is drawn in: pixels a millimetre on a wide page, as `army-…` of the style sheet has them. */
const sizes = [
  { name: 'large', pxPerMm: 2 },
  { name: 'middle', pxPerMm: 1.5 },
  { name: 'small', pxPerMm: 1.1 },
]
/** Four ranks of a wide page, and a giant that leaves room for the rest. */
const most = { widthPx: 4200, heightPx: 260 }

/**
 * An army in rank and file, every figure at one scale on its base: the large ones behind, the small ones in front. Each
 * outline is sent once and used for every model of its entry.
 */
export function Army({ ranks }: { ranks: Rank[] }) {
  if (ranks.length === 0) return null
  const isCrowd = sum(ranks.map(modelsIn)) > mostDrawn
  const sorted = tallestFirst(ranks)
  return (
    <div class={`army army-${sizeFor(ranks, isCrowd)}`}>
      <Outlines ranks={sorted} />
      <ul class="army-ranks">
        {sorted.map((rank) => (
          <li key={rank.id}>
            <div class="army-file" aria-hidden="true">
              {isCrowd ? (
                <Few rank={rank} />
              ) : (
                rank.counts.flatMap(([stage, models]) =>
                  Array.from({ length: models }, (_, index) => (
                    <Model key={`${stage} ${index}`} rank={rank} stage={stage} />
                  )),
                )
              )}
            </div>
            <span class="army-name">{nameWords(rank)}</span>
            <span class="visually-hidden">: {stagesIn(rank)}</span>
          </li>
        ))}
        <li class="army-ruler" aria-hidden="true">
          <svg class="shadow" width="0.6em" height="1em" viewBox="0 0 6 10" aria-hidden="true">
            <path class="shadow-ruler" d="M1 10h4M3 10V0M1 0h4" />
          </svg>
          <span>1 cm</span>
        </li>
      </ul>
    </div>
  )
}

interface Miniature {
  ranks: Rank[]
  /** Entries that are not drawn. */
  more: number
  /** How far the models have come is told to their owner alone: for others all are outlined, whatever was done. */
  tellsStages: boolean
}

/** An army small enough for a row of a list: one figure stands for all of an entry that have come equally far. */
export function ArmyInMiniature({ ranks, more, tellsStages }: Miniature) {
  const sorted = tallestFirst(ranks)
  const highest = Math.max(...ranks.map(({ figure }) => roomOf(figure).height))
  return (
    <div class={`army army-mini${highest > giantMm ? ' army-mini-far' : ''}`}>
      <Outlines ranks={sorted} />
      <ul class="army-ranks">
        {sorted.map((rank) => (
          <li key={rank.id}>
            <div class="army-file" aria-hidden="true">
              <Few rank={rank} />
            </div>
            <span class="visually-hidden">
              {nameWords(rank)}
              {tellsStages && `: ${stagesIn(rank)}`}
            </span>
          </li>
        ))}
        {more > 0 && <li class="army-name">{more === 1 ? 'and one more entry' : `and ${more} more entries`}</li>}
      </ul>
    </div>
  )
}

/** What is taller is seen from farther away in a row, with all that stand beside it. */
const giantMm = 130

const tallestFirst = (ranks: Rank[]) =>
  ranks.toSorted((one, other) => bodyOf(other.figure).height - bodyOf(one.figure).height)

const stagesIn = ({ counts }: Rank) => counts.map(([stage, models]) => `${models} ${stageWords[stage]}`).join(', ')

const sum = (numbers: number[]) => numbers.reduce((total, number) => total + number, 0)
const modelsIn = ({ counts }: Rank) => sum(counts.map(([, models]) => models))

const stageWords: Record<Stage, string> = {
  painted: 'painted',
  built: 'built',
  printed: 'printed',
  'to print': 'to print',
  wanted: 'wanted: no file yet',
}

function sizeFor(ranks: Rank[], isCrowd: boolean): string {
  const width = sum(ranks.map((rank) => roomOf(rank.figure).width * (isCrowd ? rank.counts.length : modelsIn(rank))))
  const height = Math.max(...ranks.map(({ figure }) => roomOf(figure).height))
  const fits = sizes.find(({ pxPerMm }) => pxPerMm * width <= most.widthPx && pxPerMm * height <= most.heightPx)
  return (fits ?? sizes.at(-1))?.name ?? ''
}

const nameWords = (rank: Rank) => (modelsIn(rank) === 1 ? rank.name : `${modelsIn(rank)} × ${rank.name}`)

const nameOf = ({ id }: Rank) => `model-${id}`

function Outlines({ ranks }: { ranks: Rank[] }) {
  return (
    <svg class="patterns" width="0" height="0" aria-hidden="true">
      <defs>
        {ranks.map((rank) => (
          <g key={rank.id} id={nameOf(rank)}>
            {rank.figure.base && <Ground base={rank.figure.base} kind={rank.figure.shadow ? 'model' : 'empty'} />}
            <Body figure={rank.figure} name="model-body" />
          </g>
        ))}
      </defs>
    </svg>
  )
}

function Few({ rank }: { rank: Rank }) {
  return (
    <>
      {rank.counts.map(([stage, models]) => (
        <span key={stage} class="army-few">
          <Model rank={rank} stage={stage} />
          {models > 1 && <span>× {models}</span>}
        </span>
      ))}
    </>
  )
}

/** One em is a centimetre, so that the style sheet sets the scale. */
const em = (mm: number) => `${Math.round(mm * 10) / 100}em`

function Model({ rank, stage }: { rank: Rank; stage: Stage }) {
  const { width, height, depth } = roomOf(rank.figure)
  const top = height - depth / 2 - marginMm
  return (
    <svg
      class={`model model-${stage.replace(' ', '-')}`}
      width={em(width)}
      height={em(height)}
      viewBox={[-width / 2, -top, width, height].map(tenth).join(' ')}
      aria-hidden="true"
    >
      <use href={`#${nameOf(rank)}`} fill={stage === 'painted' ? hatch('painted') : undefined} />
    </svg>
  )
}

/** Around a figure in `roomOf`. */
const marginMm = 1.5

const stages: Stage[] = ['painted', 'built', 'printed', 'to print', 'wanted']

interface StateProps {
  id?: string
  ranks: Pick<Rank, 'counts'>[]
  /** Of those that are to be printed, models whose file is still to be bought. */
  toBuy: number
}

/** "4 painted, 4 built, 5 printed, 9 to print, 3 wanted: no file yet" */
export function ArmyState({ id, ranks, toBuy }: StateProps) {
  const counts = new Map<Stage, number>()
  for (const [stage, models] of ranks.flatMap((rank) => rank.counts))
    counts.set(stage, (counts.get(stage) ?? 0) + models)
  const toPrint = counts.get('to print') ?? 0
  return (
    <ul class="army-state" id={id}>
      {stages
        .filter((stage) => counts.has(stage))
        .map((stage) => (
          <li key={stage}>
            <strong>{counts.get(stage)}</strong> {stageWords[stage]}
            {stage === 'to print' && buyWords(toBuy, toPrint)}
          </li>
        ))}
    </ul>
  )
}

/** Of those that are to be printed, how many have to be bought first. */
function buyWords(toBuy: number, toPrint: number): string {
  if (toBuy === 0) return ''
  const once = toBuy === 1 ? 'once its file is bought' : 'once their files are bought'
  return toBuy === toPrint ? `, ${once}` : `, ${toBuy} ${once}`
}
