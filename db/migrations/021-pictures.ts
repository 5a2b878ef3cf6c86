import { type Kysely, sql } from 'kysely'

/** Pictures of members' own prints: their rows here, their bytes in a folder or a bucket under the hash of their content. */
export async function up(db: Kysely<unknown>): Promise<void> {
  // Without a file it is loose: taken in, and its form not accepted yet. width and height are of its large size; whole_* of
  // the picture before it was cropped. crop is what is cut off each side, base two marks on the edge of a base, both in
  // hundredths of the whole.
  await sql`create table picture (
    id uuid primary key,
    member_id uuid not null references member,
    file_id uuid references file on delete cascade,
    print_id uuid references print on delete cascade,
    hash text not null check (hash ~ '^[0-9a-f]{64}$'),
    width integer not null check (width > 0),
    height integer not null check (height > 0),
    whole_hash text not null check (whole_hash ~ '^[0-9a-f]{64}$'),
    whole_width integer not null check (whole_width > 0),
    whole_height integer not null check (whole_height > 0),
    crop jsonb,
    base jsonb,
    alt text not null default '',
    created_at timestamptz not null default now(),
    version integer not null default 1,
    constraint picture_of_file check (file_id is not null or print_id is null)
  )`.execute(db)
  await sql`create index picture_file on picture (file_id, id) where file_id is not null`.execute(db)
  await sql`create index picture_print on picture (print_id) where print_id is not null`.execute(db)
  await sql`create unique index picture_loose on picture (member_id, hash) where file_id is null`.execute(db)
  await sql`create index picture_hash on picture (hash)`.execute(db)
  await sql`create index picture_whole_hash on picture (whole_hash)`.execute(db)
  await sql`create index picture_loose_since on picture (created_at) where file_id is null`.execute(db)

  // What a steward chose to stand for the file.
  await sql`alter table file add column face_id uuid references picture on delete set null`.execute(db)
  await sql`create index file_face on file (face_id) where face_id is not null`.execute(db)

  // Whose bytes may have to go, in the same transaction as the row, however that went.
  await sql`create table picture_gone (hash text primary key)`.execute(db)
  await sql`create function note_picture_gone() returns trigger language plpgsql as $$
    begin
      insert into picture_gone (hash) values (old.hash), (old.whole_hash) on conflict do nothing;
      return null;
    end $$`.execute(db)
  await sql`create trigger picture_gone after delete or update of hash, whole_hash on picture
    for each row execute function note_picture_gone()`.execute(db)
}
