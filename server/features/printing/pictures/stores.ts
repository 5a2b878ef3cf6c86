import { randomUUID } from 'node:crypto'
import { access, constants, mkdir, opendir, readFile, rename, rm, stat, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { basename, join } from 'node:path'
import { expectRoom } from '../../../../db/ready.ts'
import type { Config } from '../../../config.ts'
import { type PictureStore, storedName } from './store.ts'

const ending = '.webp'

/** Pictures in a folder, `ab/ab34…-480.webp`, closed to other users of the machine. It is made with the first one. */
export function folderStore(folder: string): PictureStore {
  const within = (name: string) => join(folder, name.slice(0, 2))
  const placeOf = (name: string) => {
    if (!storedName.test(name)) throw new TypeError(`no picture is called ${name}`)
    return join(within(name), `${name}${ending}`)
  }
  return {
    async put(name, bytes) {
      const place = placeOf(name)
      await mkdir(within(name), { recursive: true, mode: 0o700 })
      // Renamed when it is whole: a crash leaves something that nobody asks for, and the sweep takes.
      const unfinished = `${place}.${randomUUID()}.part`
      try {
        await writeFile(unfinished, bytes, { mode: 0o600, flush: true })
        await rename(unfinished, place)
      } catch (error) {
        await rm(unfinished, { force: true }).catch(() => {})
        throw error
      }
    },
    get: (name) => readFile(placeOf(name)).catch(unlessMissing),
    remove: (name) => rm(join(within(name), storedName.test(name) ? `${name}${ending}` : name), { force: true }),
    async ready() {
      await mkdir(folder, { recursive: true, mode: 0o700 })
      await access(folder, constants.W_OK)
      await expectRoom(folder)
    },
    async *list() {
      const all = await opendir(folder, { recursive: true }).catch(unlessMissing)
      if (!all) return
      for await (const entry of all) {
        if (!entry.isFile()) continue
        const about = await stat(join(entry.parentPath, entry.name)).catch(unlessMissing)
        if (about) yield { name: basename(entry.name, ending), since: about.mtime }
      }
    },
  }
}

/** Pictures for as long as this process runs. */
export const temporaryStore = (): PictureStore =>
  folderStore(join(tmpdir(), `understudy-${process.pid}-${randomUUID()}`))

function unlessMissing(error: unknown): undefined {
  if ((error as { code?: unknown }).code !== 'ENOENT') throw error
}

/** Where pictures are kept: in the bucket, where there is one, else in a folder beside the embedded database. */
export async function pictureStore({ bucket, dataDir }: Pick<Config, 'bucket' | 'dataDir'>): Promise<PictureStore> {
  // Its library takes long to load, and few have a bucket.
  if (bucket) return (await import('./bucket-store.ts')).bucketStore(bucket)
  return dataDir === 'memory' ? temporaryStore() : folderStore(join(dataDir, 'pictures'))
}
