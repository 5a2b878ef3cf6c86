import { counted } from './numbers.ts'
/** What a member brought to the group, counted. */
export type Brought = Record<'plates' | 'proposals' | 'requests', number>

/** "reported 14 plates, proposed 3 files, asked for 1 unit"; nothing is listed that is zero, and empty where all is. */
export function broughtWords({ plates, proposals, requests }: Brought): string {
  return [
    plates > 0 && `reported ${counted(plates, 'plate')}`,
    proposals > 0 && `proposed ${counted(proposals, 'file')}`,
    requests > 0 && `asked for ${counted(requests, 'unit')}`,
  ]
    .filter(Boolean)
    .join(', ')
}

/** As what somebody may come in or go on; whoever is the owner is said elsewhere. */
export const roles = [
  { value: 'member', label: 'member', note: 'asks, proposes, votes and reports' },
  {
    value: 'steward',
    label: 'steward',
    note: 'also keeps names, prices, links and snags true, and lets people in and out',
  },
]

export const capital = (words: string) => words.slice(0, 1).toUpperCase() + words.slice(1)
