import type { Unit } from './schema.ts'

/** A unit as a type-ahead proposes it, and a form that asks which one is meant. */
export const unitSuggestion = (unit: Unit) => ({
  id: unit.id,
  label: unit.name,
  names: [unit.name, ...unit.aliases],
  note: [unit.setting, `${unit.scaleMm} mm`, ...unit.aliases, knownWords(unit)].filter(Boolean).join(', '),
  href: `/units/${unit.id}`,
})

const knownWords = ({ standIns }: Unit) => (standIns === 1 ? '1 stand-in known' : `${standIns || 'no'} stand-ins known`)
