import multipart, { type MultipartFile } from '@fastify/multipart'
import type { FastifyRequest } from 'fastify'
import { isCall } from '../../../http/address.ts'
import { countTry } from '../../../http/attempts.ts'
import { addField, bodyLimit } from '../../../http/body.ts'
import { gate, gateForEach } from '../../../http/gate.ts'
import { Problem } from '../../../http/problem.ts'
import type { App } from '../../../http/route.ts'
import { takeIn } from './changes.ts'
import { encode, refusal, TurnedAway } from './encode.ts'
import { againS, mostADay, mostBytes, mostPictures, type Refusal, refusalOf, refusals } from './rules.ts'
import type { PictureStore } from './store.ts'

declare module 'fastify' {
  interface FastifyContextConfig {
    /** Its form, or body, may bring pictures along: files called `pictures`, as multipart/form-data. */
    takesPictures?: boolean
  }
  interface FastifyInstance {
    pictures: PictureStore
  }
}

/** Bytes of a whole body: its pictures, its texts, and what stands between them. */
const mostOfAll = mostPictures * mostBytes + 2 * bodyLimit

/** So many bodies are read at a time, each with one picture in memory. */
const reading = gate({ atOnce: 3, waiting: 24, refusal })
/** One of them by a member: a body may take two minutes to arrive, and whoever sends three slowly would keep all others out. */
const byMember = gateForEach({ atOnce: 1, waiting: 8, refusal })

/**
 * Has routes with `takesPictures` take forms with pictures in them. Each is encoded anew as it comes and kept as a loose
 * one, and the body is what it would be without: texts by name, with the hashes of the pictures as `pictures`. So a form
 * that is refused, or sent once more, still has them.
 */
export async function takePictures(app: App, store: PictureStore): Promise<void> {
  app.decorate('pictures', store)
  await app.register(multipart, {
    // One more than may be, to tell that there are too many rather than to break off.
    limits: { files: mostPictures + 1, fileSize: mostBytes, fieldSize: bodyLimit, fields: 2_000, parts: 2_010 },
    throwFileSizeLimit: false,
  })
  app.addHook('preValidation', async (request) => {
    if (request.is404 || !request.isMultipart()) return
    if (!request.routeOptions.config.takesPictures) throw new Problem(415, 'This form takes no pictures.')
    if (Number(request.headers['content-length'] ?? 0) > mostOfAll) throw new Problem(413, refusals['too large'])
    request.body = await byMember(request.member.id, () => reading(() => bodyIn(request, kept)))
      .catch((error) => (comesBack(request, error) ? bodyIn(request, leftOut) : Promise.reject(error)))
      .catch((error) => breakOff(request, error))
  })
  app.addHook('onSend', async ({ body }, reply) => {
    if (reply.statusCode === 422 && wasTurnedAway(body)) reply.code(503).header('retry-after', againS)
  })
}

/** A form keeps what was typed, since a browser shows what it is answered. */
const comesBack = (request: FastifyRequest, error: unknown) => error instanceof TurnedAway && !isCall(request)

const turnedAway = 'too many at once' satisfies Refusal

/** A phone that keeps its reports sends them again by itself after a 503, as it does not after a 422. */
const wasTurnedAway = (body: unknown) => [(body as Body | null)?.pictures].flat().includes(turnedAway)

/**
 * What is still to come is let go by, since a browser listens when it has sent all. What the reader of multipart says of a
 * body that is none has no status.
 */
function breakOff({ raw }: FastifyRequest, error: unknown): never {
  raw.unpipe()
  raw.resume()
  if (error instanceof Problem || (error as { statusCode?: unknown }).statusCode || !isOfReader(error)) throw error
  throw new Problem(400, 'The form cannot be read.')
}

/** Also that whoever sends it has gone away, as a phone does that loses its network. */
const isOfReader = (error: unknown) =>
  /multipart|boundary|part header|unexpected end|^Error: aborted$/i.test(String(error))

type Body = Record<string, string | string[] | undefined>

/** @returns the hash of a picture, or why it is not taken */
type Take = (request: FastifyRequest, part: MultipartFile) => Promise<string>

async function bodyIn(request: FastifyRequest, take: Take): Promise<Body> {
  // Whoever went away while they waited: the reader would wait for the end of that for ever.
  if (request.raw.destroyed && !request.raw.readableEnded)
    throw new Problem(400, 'The form was cut off on its way. Send it again.')
  const body: Body = Object.create(null)
  let [texts, files] = [0, 0]
  breakOffBeyond(request, mostOfAll)
  for await (const part of request.parts()) {
    if (part.type === 'file') {
      const picture = await pictureIn(request, part, ++files > mostPictures ? tooMany : take)
      if (picture) body.pictures = [body.pictures ?? [], picture].flat()
      continue
    }
    texts += part.fieldname.length + String(part.value).length
    if (typeof part.value !== 'string' || part.valueTruncated || texts > bodyLimit)
      throw new Problem(413, `The text in a form may be at most ${bodyLimit / 1024} KiB.`)
    addField(body, part.fieldname, part.value)
  }
  return body
}

/** A body that says no length, or a wrong one. */
function breakOffBeyond({ raw }: FastifyRequest, most: number): void {
  let sent = 0
  raw.on('data', (chunk: Buffer) => {
    sent += chunk.length
    if (sent > most) raw.destroy()
  })
}

/** @returns the hash, or why it is not taken; nothing for a field in which no file was chosen */
async function pictureIn(request: FastifyRequest, part: MultipartFile, take: Take): Promise<string | undefined> {
  if (part.fieldname !== 'pictures') throw new Problem(400, 'The only files that can be sent are pictures.')
  const taken = await take(request, part)
  if (isCall(request) && Object.hasOwn(refusals, taken)) throw asProblem(taken as Refusal)
  return taken || undefined
}

const asProblem = (refusal: Refusal) =>
  new Problem(
    { 'too large': 413, 'too many': 413, heic: 415, 'no picture': 415 }[refusal as string] ?? 422,
    refusals[refusal],
  )

/** Lets a picture go by. */
const passed =
  (refusal: Refusal): Take =>
  async (_, { file, filename }) => {
    let bytes = 0
    for await (const chunk of file) bytes += chunk.length
    return bytes > 0 || filename ? refusal : ''
  }
const tooMany = passed('too many')
const leftOut = passed(turnedAway)

const kept: Take = async (request, part) => {
  const bytes = await part.toBuffer()
  if (bytes.length === 0 && !part.filename) return ''
  if (part.file.truncated) return 'too large'
  return keptBytes(request, bytes).catch((error) => {
    if (comesBack(request, error)) return turnedAway
    throw error
  })
}

async function keptBytes(request: FastifyRequest, bytes: Buffer): Promise<string> {
  const refusal = refusalOf(bytes)
  if (refusal) return refusal
  const { db, member, server } = request
  await countTry(db, [`pictures a day by ${member.id}`], { tries: mostADay, windowS: 86_400 }, server.now())
  const encoded = await encode({ bytes, crop: null })
  if ('refusal' in encoded) {
    request.log.info({ because: encoded.because }, 'a picture was not taken')
    return encoded.refusal
  }
  await takeIn({ db, store: server.pictures }, member.id, encoded)
  return encoded.hash
}
