import type { App } from '../http/app-type.ts'
import { answersApi } from './answers/api.ts'
import { answerPages } from './answers/pages.tsx'
import { archiveApi } from './archive/api.ts'
import { archivePages } from './archive/pages.tsx'
import { chancesApi } from './chances/api.ts'
import { evidenceApi } from './evidence/api.ts'
import { evidencePages } from './evidence/pages.tsx'
import { filesApi, sculptorsApi } from './files/api.ts'
import { fileEditPages } from './files/edit-pages.tsx'
import { filePages } from './files/pages.tsx'
import { sculptorPages } from './files/sculptor-pages.tsx'
import { groupApi } from './group/api.ts'
import { groupPages } from './group/pages.tsx'
import { healthRoutes } from './health/api.ts'
import { helpPages } from './help/pages.tsx'
import { homePages } from './home/pages.tsx'
import { invitationsApi } from './invitations/api.ts'
import { invitationPages } from './invitations/pages.tsx'
import { membersApi } from './members/api.ts'
import { mePages } from './members/me-pages.tsx'
import { memberPages } from './members/pages.tsx'
import { wayBackApi } from './members/way-back-api.ts'
import { wayBackPages } from './members/way-back-pages.tsx'
import { offersApi } from './offers/api.ts'
import { offerPages } from './offers/pages.tsx'
import { printersApi } from './printers/api.ts'
import { printerPages } from './printers/pages.tsx'
import { upkeepApi } from './printers/upkeep-api.ts'
import { upkeepPages } from './printers/upkeep-pages.tsx'
import { proposalsApi } from './proposals/api.ts'
import { proposalPages } from './proposals/pages.tsx'
import { reportsApi } from './reports/api.ts'
import { reportPages } from './reports/pages.tsx'
import { platesApi } from './reports/plate-api.ts'
import { platePages } from './reports/plate-pages.tsx'
import { requestsApi } from './requests/api.ts'
import { requestPages } from './requests/pages.tsx'
import { revisionsApi } from './revisions/api.ts'
import { revisionPages } from './revisions/pages.tsx'
import { rostersApi } from './rosters/api.ts'
import { rosterPages } from './rosters/pages.tsx'
import { rosterPlanApi } from './rosters/plan/api.ts'
import { rosterPlanPages } from './rosters/plan/pages.tsx'
import { rosterSpendApi } from './rosters/spend/api.ts'
import { rosterSpendPages } from './rosters/spend/pages.ts'
import { sessionsApi } from './sessions/api.ts'
import { sessionPages } from './sessions/pages.tsx'
import { settingsApi } from './settings/api.ts'
import { settingsPages } from './settings/pages.tsx'
import { snagsApi } from './snags/api.ts'
import { snagPages } from './snags/pages.tsx'
import { unitsApi } from './units/api.ts'
import { unitPages } from './units/pages.tsx'
import { votesApi } from './votes/api.ts'
import { votePages } from './votes/pages.tsx'

/** One thing of the trade: its REST routes (under /api/v1) and its pages. */
export interface Feature {
  api?: (app: App) => void
  pages?: (app: App) => void
}

/** Everything that the service can do, in one readable list. */
export const features: Feature[] = [
  { pages: healthRoutes },
  { api: groupApi, pages: groupPages },
  { api: sessionsApi, pages: sessionPages },
  { api: invitationsApi, pages: invitationPages },
  { api: membersApi, pages: memberPages },
  { pages: mePages },
  { api: wayBackApi, pages: wayBackPages },
  { api: settingsApi, pages: settingsPages },
  { api: unitsApi, pages: unitPages },
  { api: filesApi, pages: filePages },
  { api: chancesApi },
  { pages: fileEditPages },
  { api: sculptorsApi, pages: sculptorPages },
  { api: revisionsApi, pages: revisionPages },
  { api: offersApi, pages: offerPages },
  { api: snagsApi, pages: snagPages },
  { api: requestsApi, pages: requestPages },
  { api: proposalsApi, pages: proposalPages },
  { api: votesApi, pages: votePages },
  { api: answersApi, pages: answerPages },
  { pages: homePages },
  { pages: helpPages },
  { api: archiveApi, pages: archivePages },
  { api: printersApi, pages: printerPages },
  { api: upkeepApi, pages: upkeepPages },
  { api: platesApi, pages: platePages },
  { api: reportsApi, pages: reportPages },
  { api: evidenceApi, pages: evidencePages },
  { api: rostersApi, pages: rosterPages },
  { api: rosterPlanApi, pages: rosterPlanPages },
  { api: rosterSpendApi, pages: rosterSpendPages },
]
