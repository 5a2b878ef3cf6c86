import type { CatalogueTables } from './rows/catalogue.ts'
import type { EvidenceTables } from './rows/evidence.ts'
import type { PeopleTables } from './rows/people.ts'
import type { PrintingTables } from './rows/printing.ts'
import type { RequestTables } from './rows/requests.ts'
import type { RosterTables } from './rows/rosters.ts'

export type {
  Crowding,
  OfferKind,
  OfferState,
  RetailPer,
  Role,
  Seen,
  Severity,
  SnagKind,
  SnagState,
  SupportKind,
  UpkeepKind,
} from './rows/words.ts'

/** The rows of each table; the columns are in snake_case there (`resin_ml`). Units stand in the names; money is in minor units of its currency. */
export interface Tables
  extends PeopleTables,
    CatalogueTables,
    RequestTables,
    PrintingTables,
    EvidenceTables,
    RosterTables {}
