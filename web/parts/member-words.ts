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
