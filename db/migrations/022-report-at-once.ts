import { type Kysely, sql } from 'kysely'

/** A report is kept by one statement, which waits for whoever notes upkeep and then counts the plate to the period of theirs. */
export async function up(db: Kysely<unknown>): Promise<void> {
  // Volatile, so that it sees what was committed while its statement waited for a lock; in a language whose plans are kept.
  await sql`create function period_on(printer uuid, day date) returns uuid language plpgsql volatile as $$
    begin
      return (
        select id from printer_period where printer_id = printer and (starts_on is null or starts_on <= day)
        order by starts_on desc nulls last limit 1
      );
    end $$`.execute(db)
}
