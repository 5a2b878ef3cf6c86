import {
  DeleteObjectCommand,
  GetObjectCommand,
  NoSuchKey,
  PutObjectCommand,
  paginateListObjectsV2,
  S3Client,
} from '@aws-sdk/client-s3'
import type { Bucket } from '../../../config.ts'
import { Problem } from '../../../http/problem.ts'
import type { PictureStore } from './store.ts'

const prefix = 'pictures/'
/** Whoever is asked and doesn't answer is away. */
const patience = { connectionTimeout: 3_000, requestTimeout: 10_000 }

/** @throws Problem 503 where the bucket is away, or refuses */
async function reached<Answer>(work: () => Promise<Answer>): Promise<Answer> {
  try {
    return await work()
  } catch (error) {
    if (error instanceof NoSuchKey) throw error
    const words = 'The store of pictures cannot be reached. Please try again.'
    throw Object.assign(new Problem(503, words, { retryAfterS: 30 }), { cause: error })
  }
}

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
      await reached(() => client.send(new PutObjectCommand({ ...at(name), Body: bytes, ContentType: 'image/webp' })))
    },
    async get(name) {
      try {
        const { Body } = await reached(() => client.send(new GetObjectCommand(at(name))))
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
