import { mkdtemp, readdir, rm, stat, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import S3rver from 's3rver'
import { afterAll, describe, expect, test } from 'vitest'
import { bucketStore } from '../../../server/features/printing/pictures/bucket-store.ts'
import type { PictureStore } from '../../../server/features/printing/pictures/store.ts'
import { folderStore, pictureStore } from '../../../server/features/printing/pictures/stores.ts'
import { startGroup } from '../../support/app.ts'
import { made } from '../../support/catalogue.ts'
import { aJpeg, asFile, sendPictures } from '../../support/pictures.ts'
import { aReport } from '../../support/printing.ts'

const scratch = await mkdtemp(join(tmpdir(), 'understudy-stores-'))
const server = new S3rver({
  address: '127.0.0.1',
  port: 0,
  silent: true,
  directory: join(scratch, 's3'),
  configureBuckets: [{ name: 'prints' }],
})
const { port } = await server.run()
afterAll(async () => {
  await server.close()
  await rm(scratch, { recursive: true, force: true })
})

const bucket = {
  bucket: 'prints',
  endpoint: `http://127.0.0.1:${port}`,
  region: 'us-east-1',
  accessKeyId: 'S3RVER',
  secretAccessKey: 'S3RVER',
}
const stores: [string, PictureStore][] = [
  ['a folder', folderStore(join(scratch, 'pictures'))],
  ['a bucket', bucketStore(bucket)],
]

const named = (digit: string) => `${digit.repeat(64)}-480`

async function all(store: PictureStore) {
  const found: string[] = []
  for await (const { name, since } of store.list()) {
    expect(Date.now() - since.getTime()).toBeLessThan(600_000)
    found.push(name)
  }
  return found.sort()
}

describe.each(stores)('pictures in %s', (_, store) => {
  test('are kept, given back, listed and removed', async () => {
    expect([await all(store), await store.get(named('a'))]).toEqual([[], undefined])
    const bytes = Uint8Array.from({ length: 70_000 }, (_, index) => index % 256)
    await store.put(named('a'), bytes)
    await store.put(named('a'), bytes)
    await store.put(named('b'), bytes.subarray(0, 1))
    expect(Buffer.from((await store.get(named('a'))) ?? []).equals(bytes)).toBe(true)
    expect(await all(store)).toEqual([named('a'), named('b')])
    await store.remove(named('a'))
    await store.remove(named('a'))
    expect([await all(store), await store.get(named('a'))]).toEqual([[named('b')], undefined])
  })
})

test('a folder is closed to others, and takes no other names', async () => {
  const folder = join(scratch, 'closed')
  const store = folderStore(folder)
  await store.put(named('c'), Buffer.from('c'))
  expect([(await stat(folder)).mode & 0o777, (await stat(join(folder, 'cc'))).mode & 0o777]).toEqual([0o700, 0o700])
  expect((await stat(join(folder, 'cc', `${named('c')}.webp`))).mode & 0o777).toBe(0o600)
  await expect(store.put('../../etc/passwd', Buffer.from('x'))).rejects.toThrow(TypeError)
  // Left behind by a crash in the middle of writing: listed, so that the sweep takes it.
  await writeFile(join(folder, 'cc', `${named('c')}.webp.1f.part`), 'half')
  for await (const { name } of store.list()) if (name.endsWith('.part')) await store.remove(name)
  expect(await readdir(join(folder, 'cc'))).toEqual([`${named('c')}.webp`])
})

test('the service keeps pictures in a bucket where it has one', async () => {
  const pictures = await pictureStore({ bucket, dataDir: join(scratch, 'none') })
  const { ada, ben, close } = await startGroup({ pictures })
  const { id } = await aReport(ada)
  const answer = await sendPictures(ada, `/api/v1/reports/${id}/photos`, [asFile(await aJpeg())])
  const [picture] = made<{ items: { src: string }[] }>(answer).items
  expect(await all(pictures)).toContain(picture?.src.replace('/pictures/', ''))
  expect((await ben.page(picture?.src ?? '')).headers['content-type']).toBe('image/webp')
  await close()
})

test('a bucket that is away is no fault of the sender, and keeps nothing by halves', async () => {
  const away = await pictureStore({ bucket: { ...bucket, endpoint: 'http://127.0.0.1:9' }, dataDir: '' })
  const { ada, db, close } = await startGroup({ pictures: away })
  const { id } = await aReport(ada)
  const answer = await sendPictures(ada, `/api/v1/reports/${id}/photos`, [asFile(await aJpeg())])
  expect(answer.statusCode).toBe(503)
  expect([answer.headers['retry-after'], answer.json().detail]).toEqual(['30', expect.stringContaining('pictures')])
  expect(await db.selectFrom('picture').select('id').execute()).toEqual([])
  await close()
})
