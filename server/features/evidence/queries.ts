/*
 * The tie between the database and the scoring: what other features call. A node "support set" of the scoring is one
 * line, a file with one kind of support over all its revisions (table print_success); its group is the sculptor with
 * that kind of support.
 */
export { type Model, machineShape, modelOf } from './model.ts'
export { type LineSuccess, successOfFiles } from './success.ts'
