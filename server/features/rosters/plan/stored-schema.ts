import { z } from 'zod'
import { baseShapes, offerKinds } from '../../../../db/rows/words.ts'
import type { PlanResult, Progress } from '../../../planning/plan-result.ts'
import type { Foot } from '../../../planning/plate.ts'
import type { PrintEstimate } from '../../../planning/printing.ts'
import { crowdings } from '../../../scoring/model.ts'
import { supportKind } from '../../catalogue/revisions/schema.ts'
import { resinSaid } from '../../printing/resins/schema.ts'

/*
 * A plan as it is kept in JSON. What is read back may have been written by an earlier version of this program, so it is
 * parsed; what does not fit has to be planned again.
 */

/** The offer of everything that is in the member's archive. */
export const archiveOffer = 'archive'

const text = z.string()
const texts = z.array(text)
const number = z.number()
const crowding = z.enum(crowdings)
const offerKind = z.enum([...offerKinds, 'owned'])
const reason = z.enum([
  ...([
    'no candidate',
    'pinned file is no candidate',
    'sculptor excluded',
    'file excluded',
    'fits no printer',
    'open snag stops the print',
  ] as const),
  ...(['share too small', 'pair refused', 'no usable offer', 'over budget', 'left out to differ'] as const),
])

const plan = z.object({
  offers: z.array(z.object({ offerId: text, kind: offerKind, priceMinor: number, opens: texts })),
  entries: z.array(
    z.object({
      entryId: text,
      fileId: text,
      supportSetId: text.nullable(),
      offerId: text,
      models: number,
      printMinor: number,
      looksMinor: number,
      share: number,
    }),
  ),
  uncovered: z.array(z.object({ entryId: text, reason })),
  styleTag: text.nullable(),
  totals: z.object({
    offersMinor: number,
    printMinor: number,
    looksMinor: number,
    bonusMinor: number,
    retailMinor: number,
    withoutRetail: texts,
    savingMinor: number.nullable(),
    saving: number.nullable(),
  }),
})

const result: z.ZodType<PlanResult> = z.object({
  plan,
  proven: z.boolean(),
  coverProven: z.boolean(),
  objectiveMinor: number,
  boundMinor: number.nullable(),
  gap: number.nullable(),
  ended: z.enum(['proven', 'time limit', 'stopped', 'failed']),
  failure: text.exactOptional(),
  ms: number,
  themes: z.array(
    z.object({
      styleTag: text.nullable(),
      uncovered: number,
      offersMinor: number,
      printMinor: number,
      objectiveMinor: number,
      proven: z.boolean(),
    }),
  ),
})

const named = z.object({ id: text, name: text })

const estimate: z.ZodType<PrintEstimate> = z.object({
  copies: number,
  plates: number.nullable(),
  hoursPerPlate: number.nullable(),
  hours: number.nullable(),
  fits: z.boolean(),
})

const foot: z.ZodType<Foot> = z.object({
  base: z.object({ shape: z.enum(baseShapes), widthMm: number, lengthMm: number.nullable() }),
  widestLayerMm2: number.nullable(),
})

/** What printing an entry costs, in minor units; together as much as the plan counts for it. */
const terms = z.object({ resinMinor: number, platesMinor: number, failuresMinor: number, snagsMinor: number })

/** One entry of a plan as it is printed. */
const print = z.object({
  entryId: text,
  fileId: text,
  kind: supportKind,
  /** whole copies to print, and the resin of these */
  copies: number,
  resinMl: number,
  /** copies that fail on average; these are charged */
  expectedFailures: number,
  /** 0 where not one fits, null where the base is not known */
  copiesPerPlate: number.nullable(),
  /** null without a printer of the member's own */
  estimate: estimate.nullable(),
  /** where it does not fit on the printer of the plan: another one of the member's that takes it */
  otherPrinter: named.nullable(),
  /** not of plans that an earlier version made, as what follows */
  terms: terms.exactOptional(),
  plate: z.object({ plateWidthMm: number, plateDepthMm: number }).exactOptional(),
  /** what a copy covers, where that is known */
  foot: foot.exactOptional(),
})

const naive = z.object({
  kind: z.enum(['sticker', 'cheapest', 'preferOwned', 'greedyStars', 'greedyThenDrop']),
  offersMinor: number,
  printMinor: number,
  looksMinor: number,
  /** offers, printing and looks, less what a theme or a split is worth */
  objectiveMinor: number,
  uncovered: number,
})

/** What a plan has come to. */
export const storedOutcome = z.object({
  result,
  prints: z.array(print),
  naive: z.array(naive),
  printer: named.nullable(),
  resin: resinSaid.nullable(),
  /** what its resin was counted by; not of plans that an earlier version made */
  rates: z.object({ resinGramsPerMl: number, resinPricePerKgMinor: number }).exactOptional(),
  crowding,
  withoutRate: z.array(z.object({ offerId: text, currency: text })),
  hurdles: z.record(text, text),
  /** files that are out since none of the member's printers takes them */
  tooLarge: z.array(z.object({ entryId: text, fileId: text })),
  /** paid and printed for the roster before it was planned */
  spent: z.object({ offersMinor: number, printMinor: number, otherMinor: number }),
})

export type PrintTerms = z.infer<typeof terms>
export type PlannedPrint = z.infer<typeof print>
export type Naive = z.infer<typeof naive>
export type Outcome = z.infer<typeof storedOutcome>

export const storedProgress: z.ZodType<Progress> = z.object({
  phase: z.enum(['cover', 'cost']),
  incumbent: number,
  bound: number.nullable(),
  gap: number.nullable(),
})
