import { type Hatching, StackedBar, Swatch } from './hatching.tsx'

type Stage = 'file' | 'machine' | 'plate'

/** Share of the blame for failed copies; the three add up to 1. */
export type Shares = Record<Stage, number>

export interface Verdict extends Shares {
  /** What it most likely was; null where that can't be said. */
  likely: Stage | null
}

export const stageWords: Record<Stage, string> = {
  file: 'the file',
  machine: 'the machine',
  plate: 'how full the plate was',
}

const stages: { key: Stage; words: string; kind: Hatching }[] = [
  { key: 'file', words: stageWords.file, kind: 'file' },
  { key: 'machine', words: stageWords.machine, kind: 'machine' },
  { key: 'plate', words: stageWords.plate, kind: 'crowding' },
]

/** "Most likely the machine" where that can be said; otherwise what comes into question. */
export function verdictWords(verdict: Verdict): string {
  if (verdict.likely) return `Most likely ${stageWords[verdict.likely]}`
  const [first, second] = stages.toSorted((a, b) => verdict[b.key] - verdict[a.key])
  if (first === undefined || second === undefined) return ''
  if (verdict[first.key] - verdict[second.key] >= 0.15) return `Perhaps ${first.words}, but it can't be said for sure`
  return `It can't be told yet: ${first.words} or ${second.words}`
}

/**
 * Shares as whole numbers of 100 that add up to 100: the largest remainders get what rounding down left over.
 *
 * @see Hamilton's method of apportionment (largest remainder)
 */
export function outOfHundred(shares: number[]): number[] {
  const floors = shares.map((share) => Math.floor(share * 100))
  const left = 100 - floors.reduce((sum, floor) => sum + floor, 0)
  const byRemainder = shares
    .map((share, index) => ({ index, remainder: share * 100 - Math.floor(share * 100) }))
    .toSorted((a, b) => b.remainder - a.remainder)
  for (const { index } of byRemainder.slice(0, Math.max(0, left))) floors[index] = (floors[index] ?? 0) + 1
  return floors
}

/** File, machine or plate: what the failed copies of a plate say, in words, as a bar, and what to do. */
export function VerdictBar({ verdict, advice = [] }: { verdict: Verdict; advice?: string[] }) {
  const hundred = outOfHundred(stages.map(({ key }) => verdict[key]))
  return (
    <figure class="verdict">
      <h2 class="verdict-words">{verdictWords(verdict)}</h2>
      <StackedBar pieces={stages.map(({ key, kind }) => ({ key, kind, share: verdict[key] }))} height={44} />
      <figcaption>
        <ul class="legend" aria-label="Out of 100 such failures, due to">
          {stages.map(({ key, words, kind }, index) => (
            <li key={key}>
              <Swatch kind={kind} /> {words} <span class="figures">{hundred[index]} of 100</span>
            </li>
          ))}
        </ul>
        {advice.length > 0 && (
          <ul class="advice">
            {advice.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        )}
      </figcaption>
    </figure>
  )
}
