/*
 * The tie between the database and the scoring: what other features call. A line is a file with one kind of support over
 * all its revisions; a plate holds the prints of one or more lines.
 */
export { blameOf, type PlateBlame } from './blame.ts'
export { type Film, type FilmPlate, filmIn, filmPlatesOf, filmsOf } from './film.ts'
export { freshness, lastFit, type Refit, refit } from './fitting.ts'
export {
  asMachine,
  type Machine,
  machineByPeriod,
  machinesIn,
  periodColumns,
} from './machines.ts'
export { markForFit } from './mark.ts'
export { type GroupModel, groupModel } from './model.ts'
export { isFitDue, type Line, lineKey } from './rules.ts'
export { type LineSuccess, successOfFiles } from './success.ts'
