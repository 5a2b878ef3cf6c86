/** The three stages that a copy passes, in the order of every triple in this folder. */
export const stages = ['file', 'machine', 'plate'] as const
export type Stage = (typeof stages)[number]

/** How likely each stage, when it alone has failed, is to show one label: [file, machine, plate]. */
export type LabelRow = readonly [file: number, machine: number, plate: number]
export type LabelTable = Readonly<Record<string, LabelRow>>

/** Says nothing about the cause. */
export const unknown = "don't know"

/**
 * What a member saw on a failed copy, by the stage that failed. Members say what they saw, not whom they blame. Each
 * stage's chances add up to 1. A group starts from this table and learns its own. (Common practice, no source.)
 */
export const seenLabels = {
  'supports snapped': [0.4, 0.12, 0.25],
  'part had no support': [0.38, 0.01, 0.02],
  'nothing stuck to the plate': [0.03, 0.34, 0.1],
  'one side of the plate only': [0.01, 0.25, 0.1],
  'stuck to the film': [0.05, 0.2, 0.28],
  'layers pulled apart': [0.09, 0.05, 0.22],
  'soft detail': [0.04, 0.03, 0.03],
} as const satisfies LabelTable

export type Seen = keyof typeof seenLabels | typeof unknown

/** The labels in the order in which forms, tables and files show them. */
export const seen = [...Object.keys(seenLabels), unknown] as Seen[]

/** Sets of failed stages are bit masks: 1 file, 2 machine, 4 plate; so 1-7 are the non-empty ones. */
export const stageSets = 8

/** How many stages have failed, by set. */
export const sizeOfSet = [0, 1, 1, 2, 1, 2, 2, 3] as const

/** A label table in rows of numbers. */
export type Table = {
  /** those that tell something; every other label counts as unknown */
  labels: readonly string[]
  /** chance of a label by its only cause: three a label */
  byCause: Float64Array
}

/**
 * @param rows as given; a row "don't know" is left out, since it tells nothing
 * @param scaled whether each cause's chances are to add up to 1, as learning needs it
 * @throws RangeError when a row is not three finite numbers >= 0, one of them above 0, or there is none
 */
export function tableOf(rows: LabelTable, scaled: boolean): Table {
  for (const [label, row] of Object.entries(rows)) {
    if (row.length !== 3 || !row.every((chance) => Number.isFinite(chance) && chance >= 0) || !row.some(Boolean)) {
      throw new RangeError(`label "${label}" needs three numbers >= 0, not all 0`)
    }
  }
  const labels = Object.keys(rows).filter((label) => label !== unknown)
  const byCause = Float64Array.from(labels.flatMap((label) => rows[label] ?? []))
  const sums = [0, 1, 2].map((stage) => byCause.reduce((sum, chance, at) => (at % 3 === stage ? sum + chance : sum), 0))
  if (!sums.every((sum) => sum > 0)) throw new RangeError('every stage needs a label that it may show')
  return { labels, byCause: scaled ? byCause.map((chance, at) => chance / (sums[at % 3] ?? 1)) : byCause }
}

/**
 * Chance to see each label given which stages failed: the look of a copy shows each of the failed ones equally often,
 * and a share of labels is noted blindly, P(l | F) = (1/|F|) sum over j in F of (1 - blind) M[j][l] + blind / labels.
 *
 * @param byCause M, three a label
 * @param blind share noted without looking, 0-1
 * @param into eight numbers a label, indexed by the set F; the row after the last label is that of "don't know", all 1
 */
export function chancesBySet(byCause: Float64Array, blind: number, into: Float64Array): void {
  const labels = byCause.length / 3
  for (let label = 0; label < labels; label++) {
    for (let failed = 1; failed < stageSets; failed++) {
      let sum = 0
      for (let stage = 0; stage < 3; stage++) if (failed & (1 << stage)) sum += byCause[3 * label + stage] ?? 0
      into[stageSets * label + failed] = ((1 - blind) * sum) / (sizeOfSet[failed] ?? 1) + blind / labels
    }
  }
  into.fill(1, stageSets * labels)
}
