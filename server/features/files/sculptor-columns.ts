import { sql } from 'kysely'

/**
 * Hosts of the links to all that a sculptor who asked not to be named has on offer, without "www."; null for all others,
 * whom nobody is kept from.
 */
const hosts = sql<string[] | null>`
  case when sculptor.credit = 'unnamed' then (
    select array_agg(distinct substring(lower(offer.url) from '^https?://(?:www[.])?([^/:?#]+)'))
    from file their_file
    join offer_file on offer_file.file_id = their_file.id
    join offer on offer.id = offer_file.offer_id
    where their_file.sculptor_id = sculptor.id and offer.url is not null
  ) end`

/** Columns of a file's sculptor, as every query that shows files selects them: `.select([...sculptorColumns])`. */
export const sculptorColumns = [
  'sculptor.id as sculptorId',
  'sculptor.name as sculptorName',
  'sculptor.credit as sculptorCredit',
  hosts.as('sculptorHosts'),
] as const
