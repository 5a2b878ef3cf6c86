import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import type { Insertable } from 'kysely'
import { z } from 'zod'
import type { Tables } from '../tables.ts'
import { later, type Making } from './calendar.ts'
import { type FileKey, fileKeys, type MadeFiles } from './files/index.ts'
import data from './pictures.json' with { type: 'json' }
import type { MadeReports } from './reports.ts'

/** A picture that a member took of a print: `npm run demo:figures` makes them. */
const shape = z.array(
  z.strictObject({
    file: z.enum(fileKeys as [FileKey, ...FileKey[]]),
    copies: z.int(),
    finish: z.enum(['primed', 'painted', 'failed']),
    alt: z.string().min(10),
    hash: z.string().regex(/^[0-9a-f]{64}$/),
    width: z.int(),
    height: z.int(),
  }),
)
const pictures = shape.parse(data)

/** With the latest print of the file that came out as the picture shows; without one it is the file's alone. */
export function makePictures(
  { calendar, id }: Making,
  files: MadeFiles,
  { plates, prints }: MadeReports,
): Insertable<Tables['picture']>[] {
  const plateOf = new Map(plates.map((plate) => [plate.id, plate]))
  const lines = new Map(files.sets.map((set) => [set.id, set.file]))
  return pictures.flatMap(({ file, finish, alt, hash, width, height }) => {
    const failed = finish === 'failed'
    const print = prints.findLast(
      (one) =>
        lines.get(String(one.supportSetId)) === file &&
        (failed ? one.good * 2 < one.tried : one.good * 5 >= one.tried * 4),
    )
    const plate = plateOf.get(print?.plateId ?? '')
    // A failure that nobody reported would be told by its picture alone.
    if (failed && !plate) return []
    const createdAt = plate
      ? later(new Date(plate.createdAt as Date), 3)
      : calendar.at(Math.max(2, (files.ago[file] ?? 9) - 4), 20)
    return [
      {
        id: id(createdAt),
        memberId: plate ? plate.memberId : authorOf(files, file),
        fileId: files.ids[file],
        printId: print?.id ?? null,
        hash,
        width,
        height,
        wholeHash: hash,
        wholeWidth: width,
        wholeHeight: height,
        alt,
        createdAt,
      },
    ]
  })
}

const authorOf = (files: MadeFiles, file: FileKey) => String(files.rows[fileKeys.indexOf(file)]?.createdBy)

/** What the store keeps of each picture: its name there, and its bytes. */
export async function* demoPictures(): AsyncGenerator<{ name: string; bytes: Uint8Array }> {
  for (const { hash } of pictures)
    for (const side of [480, 1600]) {
      const name = `${hash}-${side}`
      yield { name, bytes: await readFile(join(import.meta.dirname, 'pictures', `${name}.webp`)) }
    }
}
