import { type Kysely, sql } from 'kysely'

const size = 'numeric(7,2) not null check'

/**
 * What a browser measured of a file: of a revision as it was sculpted, or with one of its support sets. The mesh itself
 * never comes here. What was typed by hand has a size, and no outline.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`alter table support_set add constraint support_set_of_revision unique (revision_id, id)`.execute(db)
  await sql`create table measure (
    id uuid primary key,
    revision_id uuid not null references revision on delete cascade,
    support_set_id uuid,
    sha256s text[] not null default '{}',
    width_mm ${sql.raw(size)} (width_mm > 0),
    depth_mm ${sql.raw(size)} (depth_mm > 0),
    height_mm ${sql.raw(size)} (height_mm > 0),
    volume_ml numeric(12,3) check (volume_ml >= 0),
    surface_mm2 numeric(14,2) check (surface_mm2 >= 0),
    overlapping boolean,
    shells integer check (shells >= 0),
    open_edges integer check (open_edges >= 0),
    non_manifold_edges integer check (non_manifold_edges >= 0),
    inverted_shells integer check (inverted_shells >= 0),
    widest_layer_mm2 numeric(12,2) check (widest_layer_mm2 >= 0),
    widest_layer_at_mm numeric(7,2) check (widest_layer_at_mm >= 0),
    front jsonb,
    side jsonb,
    above jsonb,
    mid_air jsonb,
    layer_um numeric(5,1) check (layer_um > 0),
    measured_by uuid not null references member,
    measured_at timestamptz not null default now(),
    constraint measure_once unique nulls not distinct (revision_id, support_set_id),
    constraint measure_supports foreign key (revision_id, support_set_id)
      references support_set (revision_id, id) on update cascade on delete cascade,
    constraint measure_layers check ((mid_air is null) = (layer_um is null))
  )`.execute(db)
}
