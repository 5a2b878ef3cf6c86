import type { Reason } from '../../../planning/filters.ts'

const words: Record<Reason, string> = {
  'no candidate': 'Nobody has found a stand-in for it yet.',
  'pinned file is no candidate': 'The file that it was to be printed from is no longer known to stand in for it.',
  'sculptor excluded': 'All its files are by sculptors you excluded.',
  'file excluded': 'You excluded all its files.',
  'fits no printer':
    'None of its files fits on any of your printers. One that you choose for the entry is planned all the same.',
  'open snag stops the print': 'An open snag stops the print of each of its files.',
  'share too small': 'Too few in the group would field any of its files.',
  'pair refused': 'The only file for it was ruled out.',
  'no usable offer': 'None of its files can be had through an offer that you allow.',
  'over budget': 'The budget does not stretch to it.',
  'left out to differ': 'It is left out so that the plan differs.',
}

/** Why nothing is planned for an entry. @param hurdle what is in the way of all its files, if that is known */
export function uncoveredWords(reason: Reason, { hasUnit, hurdle }: { hasUnit: boolean; hurdle: string | undefined }) {
  if (reason === 'no candidate' && !hasUnit) return 'It is not known which unit is meant.'
  if (reason === 'no usable offer' && hurdle) return `None of its files can be had. ${hurdle}`
  return words[reason]
}
