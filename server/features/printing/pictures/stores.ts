import { join } from 'node:path'
import type { Config } from '../../../config.ts'
import { folderStore, temporaryStore } from './folder-store.ts'
import type { PictureStore } from './store.ts'

/** Where pictures are kept: in the bucket, where there is one, else in a folder beside the embedded database. */
export async function pictureStore({ bucket, dataDir }: Pick<Config, 'bucket' | 'dataDir'>): Promise<PictureStore> {
  // Its library takes long to load, and few have a bucket.
  if (bucket) return (await import('./bucket-store.ts')).bucketStore(bucket)
  return dataDir === 'memory' ? temporaryStore() : folderStore(join(dataDir, 'pictures'))
}
