import { type Kysely, sql } from 'kysely'

/** Says how bad a snag is, and what became of it, in the words of whoever prints. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`alter table snag
    drop constraint snag_severity_check, drop constraint snag_state_check,
    drop constraint snag_check, drop constraint snag_check1`.execute(db)
  await sql`alter table snag rename fixed_in_revision_id to mended_in_revision_id`.execute(db)
  await sql`update snag set
    severity = case severity when 'blocks' then 'stops the print' when 'cosmetic' then 'only looks' else severity end,
    state = case state when 'acknowledged by sculptor' then 'the sculptor knows' when 'fixed' then 'mended' else state end
  `.execute(db)
  await sql`alter table snag
    add constraint snag_severity check (severity in ('stops the print', 'costs time', 'only looks')),
    add constraint snag_state check (state in ('open', 'the sculptor knows', 'mended')),
    add constraint snag_minutes check ((severity = 'costs time') = (minutes is not null)),
    add constraint snag_mended check ((state = 'mended') = (mended_in_revision_id is not null))`.execute(db)
}
