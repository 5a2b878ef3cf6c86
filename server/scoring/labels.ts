/** The three stages that a copy passes, in the order of every triple in this folder. */
export const stages = ['file', 'machine', 'plate'] as const
export type Stage = (typeof stages)[number]

/** How likely each stage, when it alone has failed, is to show one label: [file, machine, plate]. */
export type LabelRow = readonly [file: number, machine: number, plate: number]
export type LabelTable = Readonly<Record<string, LabelRow>>

/**
 * What a member saw on a failed copy, by the stage that failed. Members say what they saw, not whom they blame;
 * the blame is worked out from this table, reports of others and the records of file, printer and plate.
 * Only the ratios within one row matter. `don't know` says nothing, so any constant would do.
 * (Common practice, no source.)
 */
export const seenLabels = {
  'supports snapped': [0.4, 0.12, 0.25],
  'part had no support': [0.38, 0.01, 0.02],
  'nothing stuck to the plate': [0.03, 0.34, 0.1],
  'one side of the plate only': [0.01, 0.25, 0.1],
  'stuck to the film': [0.05, 0.2, 0.28],
  'layers pulled apart': [0.09, 0.05, 0.22],
  'soft detail': [0.04, 0.03, 0.03],
  "don't know": [1, 1, 1],
} as const satisfies LabelTable

export type Seen = keyof typeof seenLabels

/** The labels in the order in which forms, tables and files show them. */
export const seen = Object.keys(seenLabels) as Seen[]

/** Sets of failed stages are bit masks: 1 file, 2 machine, 4 plate; so 1-7 are the non-empty ones. */
export const stageSets = 8

/**
 * Chance to see a label given which stages failed: each of the failed ones shows itself equally often,
 * T[l][F] = (1/|F|) sum over j in F of M[j][l].
 *
 * @returns eight numbers, indexed by the bit mask F; the one of the empty set is 0
 */
export function chancesBySet(row: LabelRow): number[] {
  return Array.from({ length: stageSets }, (_, failed) => {
    const shown = row.filter((_chance, stage) => failed & (1 << stage))
    return shown.length === 0 ? 0 : shown.reduce((sum, chance) => sum + chance, 0) / shown.length
  })
}

/** Stands for copies that a report leaves unaccounted for: like "don't know" it says nothing, in any table. */
export const unaccounted = '(unaccounted for)'

/** A label table laid out for the sweep. */
export type Chances = { labels: string[]; rowOf: ReadonlyMap<string, number>; table: Float64Array }

const known = new WeakMap<LabelTable, Chances>()

/**
 * @param labels not to be changed afterwards: it is laid out once
 * @returns eight numbers a label, and where each label's row starts
 * @throws RangeError when a label's row is not three finite numbers >= 0, one of them above 0
 */
export function chancesOf(labels: LabelTable): Chances {
  const chances = known.get(labels) ?? layOut(labels)
  known.set(labels, chances)
  return chances
}

function layOut(labels: LabelTable): Chances {
  const rows = Object.entries<LabelRow>({ ...labels, [unaccounted]: [1, 1, 1] })
  for (const [label, row] of rows) {
    if (row.length !== 3 || !row.every((chance) => Number.isFinite(chance) && chance >= 0) || !row.some(Boolean)) {
      throw new RangeError(`label "${label}" needs three numbers >= 0, not all 0`)
    }
  }
  return {
    labels: rows.map(([label]) => label),
    rowOf: new Map(rows.map(([label], index) => [label, stageSets * index])),
    table: Float64Array.from(rows.flatMap(([, row]) => chancesBySet(row))),
  }
}
