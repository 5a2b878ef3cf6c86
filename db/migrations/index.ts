import type { Migration } from 'kysely/migration'
import * as members from './001-members.ts'
import * as catalogue from './002-catalogue.ts'
import * as requests from './003-requests.ts'
import * as printing from './004-printing.ts'
import * as scoring from './005-scoring.ts'
import * as rosters from './006-rosters.ts'
import * as corrections from './007-corrections.ts'
import * as doors from './008-doors.ts'
import * as names from './009-names.ts'
import * as sessions from './010-sessions.ts'
import * as plates from './011-plates.ts'
import * as draws from './012-draws.ts'
import * as costs from './013-costs.ts'
import * as lookups from './014-lookups.ts'
import * as largeGroups from './015-large-groups.ts'
import * as snagWords from './016-snag-words.ts'
import * as resins from './017-resins.ts'
import * as army from './018-army.ts'
import * as invitationNotes from './019-invitation-notes.ts'
import * as measures from './020-measures.ts'
import * as pictures from './021-pictures.ts'
import * as reportAtOnce from './022-report-at-once.ts'
import * as proposers from './023-proposers.ts'
import * as crowdingWorkedOut from './024-crowding-worked-out.ts'
import * as newestAndNearest from './025-newest-and-nearest.ts'
import * as nearestByLetters from './026-nearest-by-letters.ts'

/** Every step of the database, in order. A step that has been released is frozen: mend it by a new one. */
export const migrations: Record<string, Migration> = {
  '001-members': members,
  '002-catalogue': catalogue,
  '003-requests': requests,
  '004-printing': printing,
  '005-scoring': scoring,
  '006-rosters': rosters,
  '007-corrections': corrections,
  '008-doors': doors,
  '009-names': names,
  '010-sessions': sessions,
  '011-plates': plates,
  '012-draws': draws,
  '013-costs': costs,
  '014-lookups': lookups,
  '015-large-groups': largeGroups,
  '016-snag-words': snagWords,
  '017-resins': resins,
  '018-army': army,
  '019-invitation-notes': invitationNotes,
  '020-measures': measures,
  '021-pictures': pictures,
  '022-report-at-once': reportAtOnce,
  '023-proposers': proposers,
  '024-crowding-worked-out': crowdingWorkedOut,
  '025-newest-and-nearest': newestAndNearest,
  '026-nearest-by-letters': nearestByLetters,
}
