import fc from 'fast-check'
import { seen } from '../../server/scoring/labels.ts'
import { crowdings } from '../../server/scoring/priors.ts'
import type { Report } from '../../server/scoring/reports.ts'

/** Small invented groups: up to six sets by two sculptors on three printer periods. */
export const supportSets = ['A1', 'A2', 'A3', 'B1', 'B2', 'B3'] as const

export const anyReport: fc.Arbitrary<Report> = fc
  .record({
    supportSet: fc.constantFrom(...supportSets),
    printerPeriod: fc.constantFrom('attic/1', 'attic/2', 'shed/1'),
    crowding: fc.constantFrom(...crowdings),
    good: fc.integer({ min: 0, max: 12 }),
    failures: fc.uniqueArray(fc.record({ seen: fc.constantFrom(...seen), copies: fc.integer({ min: 1, max: 4 }) }), {
      selector: (failure) => failure.seen,
      maxLength: 2,
    }),
    fileWeight: fc.constantFrom(1, 1, 0.5, 0.2),
    memberWeight: fc.constantFrom(1, 1, 1, 0.4),
  })
  .map((report) => ({ ...report, group: report.supportSet.slice(0, 1) }))

export const anyReports: fc.Arbitrary<(Report & { id: string })[]> = fc
  .array(anyReport, { minLength: 1, maxLength: 25 })
  .map((reports) => reports.map((report, index) => ({ ...report, id: `r${index}` })))
