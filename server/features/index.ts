import type { App } from '../http/route.ts'
import { archiveApi } from './catalogue/archive/api.ts'
import { archivePages } from './catalogue/archive/pages.tsx'
import { filesApi, sculptorsApi } from './catalogue/files/api.ts'
import { fileEditPages } from './catalogue/files/edit-pages.tsx'
import { filePages } from './catalogue/files/pages.tsx'
import { measuresApi } from './catalogue/measures/api.ts'
import { measurePages } from './catalogue/measures/pages.tsx'
import { offersApi } from './catalogue/offers/api.ts'
import { offerPages } from './catalogue/offers/pages.tsx'
import { revisionsApi } from './catalogue/revisions/api.ts'
import { revisionPages } from './catalogue/revisions/pages.tsx'
import { sculptorPages } from './catalogue/sculptors/pages.tsx'
import { snagsApi } from './catalogue/snags/api.ts'
import { snagPages } from './catalogue/snags/pages.tsx'
import { unitsApi } from './catalogue/units/api.ts'
import { unitPages } from './catalogue/units/pages.tsx'
import { evidenceApi } from './evidence/api.ts'
import { exportPages } from './overview/exports/pages.ts'
import { filePage } from './overview/file/pages.tsx'
import { healthRoutes } from './overview/health/api.ts'
import { helpPages } from './overview/help/pages.tsx'
import { homePages } from './overview/home/pages.tsx'
import { mergingApi } from './overview/merging/api.ts'
import { mergingPages } from './overview/merging/pages.tsx'
import { searchPages } from './overview/search/pages.tsx'
import { groupApi } from './people/group/api.ts'
import { groupPages } from './people/group/pages.tsx'
import { invitationsApi } from './people/invitations/api.ts'
import { invitationPages } from './people/invitations/pages.tsx'
import { meApi } from './people/me/api.ts'
import { mePages } from './people/me/pages.tsx'
import { membersApi } from './people/members/api.ts'
import { memberListPages, memberPages } from './people/members/pages.tsx'
import { sessionsApi } from './people/sessions/api.ts'
import { sessionPages } from './people/sessions/pages.tsx'
import { ratesApi, settingsApi } from './people/settings/api.ts'
import { settingsPages } from './people/settings/pages.tsx'
import { wayBackApi } from './people/way-back/api.ts'
import { wayBackPages } from './people/way-back/pages.tsx'
import { chancesApi } from './printing/chances/api.ts'
import { newPicturesApi, picturesApi } from './printing/pictures/api.ts'
import { pictureBasePages, pictureEditPages, picturePages } from './printing/pictures/pages.tsx'
import { platesApi } from './printing/plates/api.ts'
import { platePages } from './printing/plates/pages.tsx'
import { printersApi } from './printing/printers/api.ts'
import { printerEditPages, printerPages } from './printing/printers/pages.tsx'
import { reportsApi } from './printing/reports/api.ts'
import { reportPages } from './printing/reports/pages.tsx'
import { resinsApi } from './printing/resins/api.ts'
import { resinPages } from './printing/resins/pages.tsx'
import { upkeepApi } from './printing/upkeep/api.ts'
import { upkeepPages } from './printing/upkeep/pages.tsx'
import { answersApi } from './requests/answers/api.ts'
import { unitListPages } from './requests/answers/list-pages.tsx'
import { answerPages } from './requests/answers/pages.tsx'
import { proposalsApi } from './requests/proposals/api.ts'
import { newFileProposalPages, proposalPages } from './requests/proposals/pages.tsx'
import { requestsApi } from './requests/requests/api.ts'
import { newRequestPages, requestEditPages } from './requests/requests/form-pages.tsx'
import { requestPages } from './requests/requests/pages.tsx'
import { votesApi } from './requests/votes/api.ts'
import { votePages } from './requests/votes/pages.tsx'
import { rostersApi } from './rosters/api.ts'
import { rosterPages } from './rosters/pages.tsx'
import { rosterPlanApi } from './rosters/plan/api.ts'
import { rosterPlanPages } from './rosters/plan/pages.tsx'
import { rosterSpendApi } from './rosters/spend/api.ts'
import { rosterSpendPages } from './rosters/spend/pages.ts'

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
  { pages: memberListPages },
  { api: meApi, pages: mePages },
  { api: wayBackApi, pages: wayBackPages },
  { api: settingsApi, pages: settingsPages },
  { api: ratesApi },
  { api: unitsApi, pages: unitPages },
  { api: filesApi, pages: filePages },
  { api: chancesApi },
  { pages: fileEditPages },
  { api: sculptorsApi, pages: sculptorPages },
  { api: revisionsApi, pages: revisionPages },
  { api: measuresApi, pages: measurePages },
  { api: offersApi, pages: offerPages },
  { api: snagsApi, pages: snagPages },
  { api: requestsApi, pages: requestPages },
  { pages: newRequestPages },
  { pages: requestEditPages },
  { api: proposalsApi, pages: proposalPages },
  { pages: newFileProposalPages },
  { api: votesApi, pages: votePages },
  { pages: unitListPages },
  { api: answersApi, pages: answerPages },
  { pages: homePages },
  { pages: searchPages },
  { pages: filePage },
  { pages: exportPages },
  { api: mergingApi, pages: mergingPages },
  { pages: helpPages },
  { api: archiveApi, pages: archivePages },
  { api: printersApi, pages: printerPages },
  { pages: printerEditPages },
  { api: resinsApi, pages: resinPages },
  { api: upkeepApi, pages: upkeepPages },
  { api: platesApi, pages: platePages },
  { api: reportsApi, pages: reportPages },
  { api: newPicturesApi, pages: picturePages },
  { api: picturesApi, pages: pictureEditPages },
  { pages: pictureBasePages },
  { api: evidenceApi },
  { api: rostersApi, pages: rosterPages },
  { api: rosterPlanApi, pages: rosterPlanPages },
  { api: rosterSpendApi, pages: rosterSpendPages },
]
