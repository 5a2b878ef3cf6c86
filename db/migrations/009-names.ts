import { type Kysely, sql } from 'kysely'

/**
 * What keeps a hidden name from being found by trying: members type sculptors of their own, and everybody reads their own
 * words as they wrote them. Rosters are their owner's until they are shared.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  // Whom a member names after somebody of that name asked not to be named, or names with that wish, becomes a sculptor of
  // this member's: the member must not learn from anything that the name was known. typed_as is the credit they typed.
  await sql`alter table sculptor
    add typed_by uuid references member,
    add typed_as text check (typed_as in ('named', 'unnamed')),
    add check ((typed_by is null) = (typed_as is null)),
    add check (typed_by is null or credit = 'unnamed')`.execute(db)
  await sql`drop index sculptor_name`.execute(db)
  await sql`create unique index sculptor_name on sculptor (plain(name)) where typed_by is null`.execute(db)
  await sql`create unique index sculptor_typed on sculptor (typed_by, plain(name)) where typed_by is not null`.execute(
    db,
  )
  await sql`create index sculptor_called on sculptor (plain(name))`.execute(db)

  // A label may be another one's for whoever reads it with the name left out, so the database can't tell twins apart.
  await sql`alter table revision drop constraint revision_file_id_label_key`.execute(db)
  await sql`create index revision_file on revision (file_id)`.execute(db)

  // Fields whose words are no longer those of whoever added the row. Of rows changed before this was noted all may be.
  await sql`alter table file add others_words text[] not null default '{}'`.execute(db)
  await sql`alter table revision add others_words text[] not null default '{}'`.execute(db)
  await sql`alter table offer add others_words text[] not null default '{}'`.execute(db)
  await sql`alter table snag add others_words text[] not null default '{}'`.execute(db)
  await sql`update file set others_words = '{title,licence,remark,options,styleTags}' where version > 1`.execute(db)
  await sql`update revision set others_words = '{label}' where version > 1`.execute(db)
  await sql`update offer set others_words = '{title,url}' where version > 1`.execute(db)
  await sql`update snag set others_words = '{part,detail}' where version > 1`.execute(db)

  await sql`alter table roster alter shared set default false`.execute(db)
  // Copies were shared without anybody having been asked, also those of rosters that were not.
  await sql`update roster set shared = false where name like '%(copy)'`.execute(db)
}
