/*
 * The tie between the database and the scoring: what other features call. A line is a file with one kind of support over
 * all its revisions; a plate holds the prints of one or more lines.
 */
export { blameOf, type PlateBlame } from './blame.ts'
export { type LastFit, lastFit, type Refit, refit } from './fitting.ts'
export { markForFit } from './mark.ts'
export { type GroupModel, groupModel } from './model.ts'
export { disagrees, type Line, lineKey } from './rules.ts'
export { storedDraws } from './storing.ts'
export { type LineSuccess, successOfFiles } from './success.ts'
