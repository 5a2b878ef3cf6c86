import { type RawBuilder, sql } from 'kysely'
import type { MeasuredFoot } from '../../../planning/plate.ts'
import type { Shadow } from './schema.ts'

const drawn = sql`json_build_object('front', front, 'widthMm', width_mm, 'heightMm', height_mm)`
const newestFirst = sql`released_on desc nulls last, revision.created_at desc, revision.id desc, support_set_id is not null`

/**
 * What each row's file is drawn by: the outline of its newest revision that has one, rather without supports than with.
 * A part of the statement that reads the rows, so that a list asks once.
 *
 * @param fileId the column that has the file's id
 */
export const shadowOf = (fileId = 'file.id'): RawBuilder<Shadow | null> => sql`(
  select ${drawn} from revision join measure on measure.revision_id = revision.id
  where revision.file_id = ${sql.ref(fileId)} and front is not null
  order by ${newestFirst}
  limit 1
)`

/** What a copy of each row's file covers on a plate: of its newest measured revision, rather with supports than without. */
export const footPrintOf = (fileId = 'file.id'): RawBuilder<MeasuredFoot | null> => sql`(
  select json_build_object('widthMm', width_mm, 'depthMm', depth_mm, 'widestLayerMm2', widest_layer_mm2)
  from revision join measure on measure.revision_id = revision.id
  where revision.file_id = ${sql.ref(fileId)}
  order by released_on desc nulls last, revision.created_at desc, revision.id desc, support_set_id is null, measure.id
  limit 1
)`

/**
 * What each row's unit is drawn by: the shadow of one of its stand-ins, rather of one that a request for it was settled on.
 *
 * @param unitId the column that has the unit's id
 */
export const shadowOfUnit = (unitId: string): RawBuilder<Shadow | null> => sql`(
  select ${drawn} from file_unit join revision on revision.file_id = file_unit.file_id
  join measure on measure.revision_id = revision.id
  where file_unit.unit_id = ${sql.ref(unitId)} and front is not null
  order by exists (
    select from request where settled_file_id = file_unit.file_id and request.unit_id = file_unit.unit_id
  ) desc, file_unit.file_id desc, ${newestFirst}
  limit 1
)`
