import type { Db } from '../../../../db/connect.ts'
import { figureOf } from '../../../../web/pages/Files.tsx'
import type { Drawn } from '../../../../web/parts/choice-field.tsx'
import type { Viewer } from '../../../http/session.ts'
import type { Wanted } from '../../../http/version.ts'
import { fileSuggestion } from '../../catalogue/files/meant.ts'
import { listFiles, readFile } from '../../catalogue/files/queries.ts'
import { withShadow, withShadows } from '../../catalogue/measures/drawn.ts'
import { listSculptors, readSculptor } from '../../catalogue/sculptors/queries.ts'
import { listUnits, readUnit } from '../../catalogue/units/queries.ts'
import { mergeFiles, removeFile } from './files.ts'
import { mergeSculptors, removeSculptor } from './sculptors.ts'
import { mergeUnits, removeUnit } from './units.ts'

/** What a page needs to merge or remove things of a kind. */
interface Mergeable {
  list: string
  /** What one is called and drawn by. */
  read: (db: Db, viewer: Viewer, id: string) => Promise<Pick<Drawn, 'name' | 'figure'>>
  near: (db: Db, viewer: Viewer, q: string) => Promise<Drawn[]>
  merge: (db: Db, pair: { from: string; into: string }) => Promise<void>
  remove: (db: Db, viewer: Viewer, id: string, wanted?: Wanted) => Promise<void>
  /** The page of one. */
  page: (id: string) => string
}

const limit = 12

export const kinds: Record<'unit' | 'file' | 'sculptor', Mergeable> = {
  unit: {
    list: '/units',
    read: async (db, _viewer, id) => {
      const unit = await withShadow(db, await readUnit(db, id))
      return { name: unit.name, figure: unit }
    },
    near: async (db, _viewer, q) =>
      (await withShadows(db, (await listUnits(db, { limit, q })).items)).map(({ standIns, setting, ...unit }) => ({
        id: unit.id,
        name: unit.name,
        figure: unit,
        note: [setting, `${unit.scaleMm} mm`, `stand-ins known: ${standIns}`].filter(Boolean).join(', '),
      })),
    merge: mergeUnits,
    remove: removeUnit,
    page: (id) => `/units/${id}`,
  },
  file: {
    list: '/files',
    read: async (db, viewer, id) => {
      const file = await readFile(db, viewer, id)
      return { name: file.title, figure: figureOf(file) }
    },
    near: async (db, viewer, q) =>
      (await listFiles(db, viewer, { limit, q })).items.map((file) => {
        const { id, label, note } = fileSuggestion(file)
        return { id, name: label, note, figure: figureOf(file) }
      }),
    merge: mergeFiles,
    remove: removeFile,
    page: (id) => `/files/${id}`,
  },
  sculptor: {
    list: '/sculptors',
    read: async (db, viewer, id) => ({ name: (await readSculptor(db, viewer, id)).name, figure: null }),
    near: async (db, viewer, q) =>
      (await listSculptors(db, viewer, { limit, q })).items.map(({ id, name, credit, files }) => ({
        id,
        name,
        figure: null,
        note: [credit === 'unnamed' && 'asked not to be named', files === 1 ? '1 file' : `${files} files`]
          .filter(Boolean)
          .join(', '),
      })),
    merge: mergeSculptors,
    remove: (db, _viewer, id, wanted) => removeSculptor(db, id, wanted),
    page: (id) => `/files?sculptorId=${id}`,
  },
}
