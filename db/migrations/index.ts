import type { Migration } from 'kysely/migration'
import * as members from './001-members.ts'
import * as catalogue from './002-catalogue.ts'
import * as requests from './003-requests.ts'
import * as printing from './004-printing.ts'
import * as scoring from './005-scoring.ts'
import * as rosters from './006-rosters.ts'
import * as corrections from './007-corrections.ts'
import * as sessions from './010-sessions.ts'

/** Every step of the database, in order. A step that has been released is frozen: mend it by a new one. */
export const migrations: Record<string, Migration> = {
  '001-members': members,
  '002-catalogue': catalogue,
  '003-requests': requests,
  '004-printing': printing,
  '005-scoring': scoring,
  '006-rosters': rosters,
  '007-corrections': corrections,
  '010-sessions': sessions,
}
