import { type Kysely, sql } from 'kysely'

/**
 * A plate costs film, gloves, alcohol and power, and a failed one its clean-up besides that of its copies. Both start at
 * 1.00 (common practice, no source).
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`alter table group_settings
    add per_plate_minor bigint check (per_plate_minor >= 0),
    add clean_up_per_plate_minor bigint check (clean_up_per_plate_minor >= 0)`.execute(db)
  // Minor units in a whole one by ISO 4217.
  await sql`update group_settings set (per_plate_minor, clean_up_per_plate_minor) = (select one.whole, one.whole from (
    select case
      when currency in ('BIF', 'CLP', 'DJF', 'GNF', 'ISK', 'JPY', 'KMF', 'KRW', 'PYG', 'RWF', 'UGX', 'UYI', 'VND', 'VUV',
        'XAF', 'XOF', 'XPF') then 1
      when currency in ('BHD', 'IQD', 'JOD', 'KWD', 'LYD', 'OMR', 'TND') then 1000
      when currency in ('CLF', 'UYW') then 10000
      else 100 end as whole) one)`.execute(db)
  await sql`alter table group_settings
    alter per_plate_minor set not null, alter clean_up_per_plate_minor set not null`.execute(db)
}
