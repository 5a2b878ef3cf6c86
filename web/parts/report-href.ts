/** What a report of a roster's plate begins with. */
export interface PlateToReport {
  fileId: string
  supportSetId: string | null
  entryId: string
  copies: number
  printer: { id: string } | null
}

/** The report form, filled in as the plate will be. */
export function reportHref({ fileId, supportSetId, entryId, copies, printer }: PlateToReport): string {
  const asked = new URLSearchParams({ fileId, entryId, copies: String(copies) })
  if (supportSetId) asked.set('supports', supportSetId)
  if (printer) asked.set('printerId', printer.id)
  return `/reports/new?${asked}`
}
