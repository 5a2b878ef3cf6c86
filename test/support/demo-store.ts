import { demoPictures } from '../../db/demo/pictures.ts'
import type { PictureStore } from '../../server/features/printing/pictures/store.ts'
import { pictureStore } from '../../server/features/printing/pictures/stores.ts'

/** A store with the demo group's pictures. */
export async function demoStore(): Promise<PictureStore> {
  const store = await pictureStore({ bucket: undefined, dataDir: 'memory' })
  for await (const { name, bytes } of demoPictures()) await store.put(name, bytes)
  return store
}
