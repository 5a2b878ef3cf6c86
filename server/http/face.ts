import { sql } from 'kysely'
import { z } from 'zod'

/** Pictures come in two sizes; so many pixels is the longest side of each. A smaller picture is not blown up. */
export const longestSide = { small: 480, large: 1600 } as const

/** A picture as it is kept: measures of its large size. */
export interface KeptPicture {
  hash: string
  width: number
  height: number
}

/** Measures with the longest side at most so long, whole pixels. */
export function within({ width, height }: { width: number; height: number }, longest: number) {
  const scale = Math.min(1, longest / Math.max(width, height))
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) }
}

/** Where the two sizes of a picture are, with their measures. */
export const sizesOf = ({ hash, width, height }: KeptPicture) => ({
  src: `/pictures/${hash}-${longestSide.small}`,
  ...within({ width, height }, longestSide.small),
  large: { src: `/pictures/${hash}-${longestSide.large}`, width, height },
})

const measures = { src: z.string(), width: z.int(), height: z.int() }

/** A picture in its two sizes; `src` and its measures are of the small one. */
export const pictureSizes = { ...measures, large: z.object(measures) }

/** The picture that stands for a file. */
export const faceSchema = z.object({ ...pictureSizes, alt: z.string() }).meta({
  id: 'Face',
  examples: [
    {
      ...sizesOf({ hash: '3f1c'.repeat(16), width: 1600, height: 1200 }),
      alt: 'Four sentries on wet stone, grey resin',
    },
  ],
})

export type Face = z.infer<typeof faceSchema>

/** What `faceOf` brings; whoever shows it masks its words first (`shownFace` of the files' rules). */
export interface FaceRow extends KeptPicture {
  alt: string
  memberId: string
}

/**
 * The face of the row of `file` around it: what a steward chose, else the newest picture of a good print (at least four in
 * five copies), else the newest that came without a report. A failed print is nobody's face.
 */
export const faceOf = sql<FaceRow | null>`(
  select json_build_object('hash', shot.hash, 'width', shot.width, 'height', shot.height, 'alt', shot.alt,
    'memberId', shot.member_id)
  from picture shot left join print shot_print on shot_print.id = shot.print_id
  where shot.file_id = file.id
    and (shot.id = file.face_id or shot.print_id is null or shot_print.good * 5 >= shot_print.tried * 4)
  order by (shot.id = file.face_id) is true desc, shot.print_id is not null desc, shot.id desc limit 1
)`
