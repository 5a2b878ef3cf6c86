import sharp from 'sharp'
import type { Person } from './app.ts'

/*
 * Pictures as a camera or a stranger would send them, and forms that bring them.
 */

let shade = 0

/** A JPEG of these measures, each of another colour. */
export function aJpeg(width = 640, height = 480): Promise<Buffer> {
  shade = (shade + 1) % 4096
  const background = { r: 16 * (shade % 16), g: 16 * (Math.floor(shade / 16) % 16), b: 16 * Math.floor(shade / 256) }
  return sharp({ create: { width, height, channels: 3, background } })
    .jpeg()
    .toBuffer()
}

export interface SentFile {
  name: string
  type: string
  bytes: Uint8Array
}

export const asFile = (bytes: Uint8Array, name = 'print.jpg', type = 'image/jpeg'): SentFile => ({ name, type, bytes })

/** A multipart body as a browser sends it (RFC 7578). */
export function multipart(fields: Record<string, string | string[]>, files: SentFile[], field = 'pictures') {
  const boundary = '----between-the-parts'
  const texts = Object.entries(fields).flatMap(([name, value]) =>
    [value].flat().map((one) => `--${boundary}\r\ncontent-disposition: form-data; name="${name}"\r\n\r\n${one}\r\n`),
  )
  const parts = files.flatMap(({ name, type, bytes }) => [
    Buffer.from(
      `--${boundary}\r\ncontent-disposition: form-data; name="${field}"; filename="${name}"\r\ncontent-type: ${type}\r\n\r\n`,
    ),
    bytes,
    Buffer.from('\r\n'),
  ])
  return {
    payload: Buffer.concat([Buffer.from(texts.join('')), ...parts, Buffer.from(`--${boundary}--\r\n`)]),
    headers: { 'content-type': `multipart/form-data; boundary=${boundary}` },
  }
}

/** Sends a form, or a call of the API, with pictures. */
export function sendPictures(
  person: Person,
  url: string,
  files: SentFile[],
  fields: Record<string, string | string[]> = {},
  more: Record<string, string> = {},
) {
  const { payload, headers } = multipart(fields, files)
  return person.app.inject({
    method: 'POST',
    url,
    payload,
    headers: {
      ...headers,
      'sec-fetch-site': 'same-origin',
      ...(person.cookie && { cookie: person.cookie }),
      ...more,
    },
  })
}
