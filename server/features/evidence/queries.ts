/*
 * The tie between the database and the scoring: what other features call. A node "support set" of the scoring is one
 * line, a file with one kind of support over all its revisions (table print_success); its group is the sculptor with
 * that kind of support.
 */
export { type FitSteps, FitWork } from './fit-work.ts'
export { freshness, lastFit, type Refit, refit } from './fitting.ts'
export { joinLearning, knowLearningState, learningState } from './joining.ts'
export {
  ageOfSupports,
  forgetReport,
  haltReportsOn,
  learnReport,
  relearnReports,
  reweighLine,
  worthAt,
} from './learning.ts'
export { lineEvidence, noEvidence } from './line-evidence.ts'
export {
  currentFit,
  type FitState,
  fitAsColumn,
  fitState,
  hyperOf,
  type Model,
  machineShape,
  machineShapeOf,
  modelOf,
  periods,
  plateShapes,
} from './model.ts'
export type { ReportEvidence } from './report-evidence.ts'
export { evidenceOf } from './reports.ts'
export { isFitDue, type Line, type LineOfSculptor, lineKey } from './rules.ts'
export { doubtedMembers } from './standings.ts'
export { type LineSuccess, successOfFiles } from './success.ts'
export { toldOf } from './told.ts'
