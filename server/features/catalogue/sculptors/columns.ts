import { sql } from 'kysely'

/**
 * Hosts of the links to all that a sculptor who asked not to be named has on offer, without "www."; null for all others,
 * whom nobody is kept from. To a sculptor that a member typed belong the links of the group's sculptor of this name too,
 * but not the other way round: by a link to a file of their own nobody shall find out what is masked elsewhere.
 */
export const sculptorHosts = sql<string[] | null>`
  case when sculptor.credit = 'unnamed' then (
    select array_agg(distinct substring(lower(offer.url) from '^https?://(?:www[.])?([^/:?#]+)'))
    from sculptor called
    join file their_file on their_file.sculptor_id = called.id
    join offer_file on offer_file.file_id = their_file.id
    join offer on offer.id = offer_file.offer_id
    where plain(called.name) = plain(sculptor.name)
      and (called.id = sculptor.id or (called.typed_by is null and sculptor.typed_by is not null))
      and offer.url is not null
  ) end`

/** Who reads the title as they typed it: whoever added the file, unless somebody else changed it since. */
export const titleBy = sql<string | null>`case when 'title' <> all (file.others_words) then file.created_by end`

/** Columns of a file's sculptor, as every query that shows files selects them: `.select([...sculptorColumns])`. */
export const sculptorColumns = [
  'sculptor.id as sculptorId',
  'sculptor.name as sculptorName',
  'sculptor.credit as sculptorCredit',
  'sculptor.typedBy as sculptorTypedBy',
  'sculptor.typedAs as sculptorTypedAs',
  sculptorHosts.as('sculptorHosts'),
  titleBy.as('titleBy'),
] as const
