import { type Hatching, StackedBar, Swatch } from './hatching.tsx'

type Stage = 'file' | 'machine' | 'plate'

/** Share of the blame for failed copies; the three add up to 1. */
export type Shares = Record<Stage, number>

export interface Verdict extends Shares {
  /** What it most likely was; null where that can't be said. */
  likely: Stage | null
  /** A share is large enough, but verdicts like it are not right often enough. */
  isRightTooSeldom?: boolean
  /** A plate that is half empty is not to blame for being full. */
  isHalfEmpty?: boolean
}

/** What a share of the blame falls to. @param isHalfEmpty the plate */
export const stageWords = (isHalfEmpty = false): Record<Stage, string> => ({
  file: 'the file',
  machine: 'the machine',
  plate: isHalfEmpty ? 'the plate' : 'how full the plate was',
})

const stages: { key: Stage; kind: Hatching }[] = [
  { key: 'file', kind: 'file' },
  { key: 'machine', kind: 'machine' },
  { key: 'plate', kind: 'crowding' },
]

/** "Most likely the machine" where that can be said; otherwise what comes into question. */
export function verdictWords(verdict: Verdict): string {
  const words = stageWords(verdict.isHalfEmpty)
  if (verdict.likely) return `Most likely ${words[verdict.likely]}`
  const [first, second] = stages.map(({ key }) => key).toSorted((a, b) => verdict[b] - verdict[a])
  if (first === undefined || second === undefined) return ''
  if (verdict[first] - verdict[second] >= 0.15) return `Perhaps ${words[first]}, but it can't be said for sure`
  // Named in their usual order: they are as good as equal, and the longest words come last.
  const [one, other] = stages.map(({ key }) => key).filter((key) => key === first || key === second)
  return one && other ? `It can't be told yet: ${words[one]} or ${words[other]}` : ''
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

/** File, machine or plate: what the failed copies of a plate say, in words and as a bar. */
export function VerdictBar({ verdict }: { verdict: Verdict }) {
  const words = stageWords(verdict.isHalfEmpty)
  const hundred = outOfHundred(stages.map(({ key }) => verdict[key]))
  return (
    <figure class="verdict">
      <h2 class="verdict-words">{verdictWords(verdict)}</h2>
      <StackedBar pieces={stages.map(({ key, kind }) => ({ key, kind, share: verdict[key] }))} height={44} />
      <figcaption>
        <ul class="legend" aria-label="Out of 100 such failures, due to">
          {stages.map(({ key, kind }, index) => (
            <li key={key}>
              <Swatch kind={kind} /> {words[key]} <span class="figures">{hundred[index]} of 100</span>
            </li>
          ))}
        </ul>
        {verdict.isRightTooSeldom && (
          <p class="quiet">
            In simulated groups, verdicts like this one were right fewer than three times in four, so it is not called
            likely.
          </p>
        )}
      </figcaption>
    </figure>
  )
}
