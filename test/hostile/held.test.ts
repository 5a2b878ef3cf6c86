import { once } from 'node:events'
import { type AddressInfo, connect } from 'node:net'
import { setTimeout } from 'node:timers/promises'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { member, type Person } from '../support/app.ts'
import { type Group, startGroup } from '../support/rosters.ts'

/*
 * A request whose headers come at once and whose body comes late: whoever sends it has been signed out, or has lost their
 * role, in between.
 */

let group: Group
let port: number
beforeAll(async () => {
  group = await startGroup()
  await group.app.listen({ port: 0, host: '127.0.0.1' })
  port = (group.app.server.address() as AddressInfo).port
})
afterAll(() => group.close())

/** Sends all of it but the end of the body, and that after something else has happened. @returns the status */
async function held(
  who: Person,
  method: string,
  path: string,
  type: string,
  body: string,
  meanwhile: () => Promise<void>,
) {
  const socket = connect(port, '127.0.0.1').setEncoding('latin1')
  const origin = `http://127.0.0.1:${port}`
  const head = [
    `${method} ${path} HTTP/1.1`,
    `host: 127.0.0.1:${port}`,
    `origin: ${origin}`,
    `cookie: ${who.cookie}`,
    `content-type: ${type}`,
    `content-length: ${Buffer.byteLength(body)}`,
  ]
  socket.write(`${head.join('\r\n')}\r\n\r\n${body.slice(0, 1)}`)
  await setTimeout(1200)
  await meanwhile()
  socket.write(body.slice(1))
  const [answer] = (await once(socket, 'data')) as [string]
  socket.destroy()
  return Number(/^HTTP\/1\.1 (\d+)/.exec(answer)?.[1])
}

const unit = JSON.stringify({ name: 'Late Herons', setting: 'Fen', scaleMm: 28, modelsPerUnit: 5 })
const json = 'application/json'

describe('a change whose body comes late', () => {
  test('is not made for whoever was signed out meanwhile, as it is for whoever was not', async () => {
    const nell = await member(group.odile, 'Nell')
    const out = async () => {
      expect((await group.odile.delete(`/members/${nell.id}/sessions`)).statusCode).toBe(204)
    }
    expect(await held(nell, 'POST', '/api/v1/units', json, unit, async () => {})).toBe(201)
    expect(await held(nell, 'POST', '/api/v1/units', json, unit, out)).toBe(401)
  })

  test('is not made by a form with pictures either', async () => {
    const nora = await member(group.odile, 'Nora')
    const out = async () => {
      expect((await group.odile.delete(`/members/${nora.id}/sessions`)).statusCode).toBe(204)
    }
    const form = ['--x', 'content-disposition: form-data; name="alt"', '', 'Late Herons', '--x--', ''].join('\r\n')
    expect(
      await held(
        nora,
        'POST',
        '/plates/01900000-0000-7000-8000-000000000000/pictures',
        'multipart/form-data; boundary=x',
        form,
        out,
      ),
    ).toBe(401)
  })

  test('is not made by whoever is no steward any more', async () => {
    const sten = await member(group.odile, 'Stenson', 'steward')
    const fall = async () => {
      const { headers } = await group.odile.get(`/members/${sten.id}`)
      const change = { headers: { 'if-match': String(headers.etag) } }
      expect((await group.odile.patch(`/members/${sten.id}`, { role: 'member' }, change)).statusCode).toBe(200)
    }
    const body = JSON.stringify({ role: 'member', uses: 1, expiresInDays: 7, note: '' })
    expect(await held(sten, 'POST', '/api/v1/invitations', json, body, fall)).toBe(403)
  })
})
