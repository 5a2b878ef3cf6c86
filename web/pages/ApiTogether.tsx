import { DataTable } from '../parts/data-table.tsx'
import { Section } from '../parts/section.tsx'

/** What several fields of a shape have to be to each other, which no schema of one field says. */
export const together: { shape: string; rule: string }[] = [
  { shape: 'NewMoney', rule: 'amount has no more digits after the point than currency has (ISO 4217)' },
  { shape: 'NewBase', rule: 'lengthMm stands with an oval or a rectangle, and with nothing round' },
  { shape: 'NewRequest', rule: 'either unitId or unit' },
  { shape: 'ChangedRequest', rule: 'fileId stands with the state settled, and with no other' },
  { shape: 'NewProposal', rule: 'either fileId or file' },
  {
    shape: 'NewOffer',
    rule: 'price is 0 or left out of what is free, and stands with all else; minMonths stands with a membership alone; fileIds has one for a purchase',
  },
  {
    shape: 'NewSnag',
    rule: 'minutes stand with the severity “costs time”, and with no other; a mended one has its mendedInRevisionId, another none',
  },
  {
    shape: 'NewMeasure',
    rule: 'volume, layers, outlines and midAir lie within widthMm x depthMm x heightMm, the volume as often as there are shells that overlap; midAir stands with its layerUm',
  },
  {
    shape: 'NewPlate',
    rule: 'prints stand with a plate that is told, and not with one that is not; no supports twice among them',
  },
  {
    shape: 'NewReport',
    rule: 'good and the copies of failures are together what was tried; none of seen twice; mended at most what failed; mendedMinutes only where something was',
  },
  { shape: 'NewEntries', rule: 'either a text that is pasted, or one entry by unitId or words' },
  { shape: 'AskedPlan', rule: 'pins and split name entries of the roster, pins files that stand in for them' },
  { shape: 'ChangedMember', rule: 'either role or state' },
  { shape: 'ChangedMe', rule: 'a new email, or a new password, stands with the old password' },
]

/** The rules of `together`, for the documentation of the API. */
export function ApiTogether() {
  return (
    <Section heading="Fields that have to fit together" id="together">
      <DataTable
        caption="Fields that have to fit together"
        captionHidden
        rows={together}
        rowKey={({ shape }) => shape}
        columns={[
          { label: 'In', head: true, cell: ({ shape }) => <a href={`#shape-${shape}`}>{shape}</a> },
          { label: 'Rule', cell: ({ rule }) => rule },
        ]}
      />
      <p>A day on which something was seen, printed, bought or kept up has come already, somewhere on earth.</p>
    </Section>
  )
}
