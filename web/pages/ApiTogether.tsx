import { Section } from '../parts/blocks.tsx'
import { DataTable } from '../parts/data-table.tsx'

/** What several fields of a shape have to be to each other, which no schema of one field says. */
export const together: { shape: string; rule: string }[] = [
  { shape: 'NewMoney', rule: 'amount has no more digits after the point than currency has (ISO 4217)' },
  { shape: 'NewBase', rule: 'lengthMm goes with an oval or a rectangle, never with a round base' },
  { shape: 'NewRequest', rule: 'either unitId or unit' },
  { shape: 'ChangedRequest', rule: 'fileId goes with the state settled and no other' },
  { shape: 'NewProposal', rule: 'either fileId or file' },
  {
    shape: 'NewOffer',
    rule: 'price is 0 or left out where the offer is free, and required otherwise; minMonths goes with a membership alone; fileIds has one for a purchase',
  },
  {
    shape: 'NewSnag',
    rule: 'minutes go with the severity “costs time” and no other; mendedInRevisionId goes with the state mended and no other',
  },
  {
    shape: 'NewMeasure',
    rule: 'volume, layers, outlines and midAir lie within widthMm x depthMm x heightMm, the volume as often as there are shells that overlap; midAir stands with its layerUm',
  },
  {
    shape: 'NewPlate',
    rule: 'prints go with a plate that is reported in full, and with no other; no supports twice among them',
  },
  {
    shape: 'NewReport',
    rule: 'good and the copies of failures add up to tried; nothing seen is listed twice; mended is at most what failed; mendedMinutes only where something was mended',
  },
  { shape: 'NewEntries', rule: 'either a pasted text, or one entry by unitId or words' },
  { shape: 'AskedPlan', rule: 'pins and split name entries of the roster, pins files that stand in for them' },
  { shape: 'ChangedMember', rule: 'either role or state' },
  { shape: 'ChangedMe', rule: 'a new email or password needs the old password' },
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
      <p>A day on which something was seen, printed, bought or serviced has to have begun somewhere on earth.</p>
    </Section>
  )
}
