import {
  DeleteObjectCommand,
  GetObjectCommand,
  NoSuchKey,
  PutObjectCommand,
  paginateListObjectsV2,
  S3Client,
} from '@aws-sdk/client-s3'
import type { Bucket } from '../../../config.ts'
import type { PictureStore } from './store.ts'

const prefix = 'pictures/'
/** Whoever is asked and doesn't answer is away. */
const patience = { connectionTimeout: 3_000, requestTimeout: 10_000 }

/** Pictures in a bucket of a service that speaks S3, as `pictures/<name>`. */
export function bucketStore({ bucket, endpoint, region, accessKeyId, secretAccessKey }: Bucket): PictureStore {
  const client = new S3Client({
    region,
    credentials: { accessKeyId, secretAccessKey },
    // Most services other than the first have one host for all their buckets.
    ...(endpoint && { endpoint, forcePathStyle: true }),
    requestHandler: patience,
    // Others don't know the checksums that the library adds of itself.
    requestChecksumCalculation: 'WHEN_REQUIRED',
    responseChecksumValidation: 'WHEN_REQUIRED',
  })
  const at = (name: string) => ({ Bucket: bucket, Key: `${prefix}${name}` })
  return {
    async put(name, bytes) {
      await client.send(new PutObjectCommand({ ...at(name), Body: bytes, ContentType: 'image/webp' }))
    },
    async get(name) {
      try {
        const { Body } = await client.send(new GetObjectCommand(at(name)))
        return await Body?.transformToByteArray()
      } catch (error) {
        if (error instanceof NoSuchKey) return undefined
        throw error
      }
    },
    async remove(name) {
      await client.send(new DeleteObjectCommand(at(name)))
    },
    async *list() {
      for await (const { Contents = [] } of paginateListObjectsV2({ client }, { Bucket: bucket, Prefix: prefix }))
        for (const { Key = '', LastModified = new Date() } of Contents)
          yield { name: Key.slice(prefix.length), since: LastModified }
    },
  }
}
