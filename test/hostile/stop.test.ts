import { connect } from 'node:net'
import { setTimeout as sleep } from 'node:timers/promises'
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest'
import { freshPlace } from '../support/database.ts'
import { Client } from './client.ts'
import { buildProgram, type Program, type Running, startService } from './service.ts'

const { place, remove } = await freshPlace()
let program: Program
let service: Running
let odile: Client
beforeAll(async () => {
  program = await buildProgram()
  service = await startService(program, place)
  odile = new Client(() => service.address)
  await odile.setUp()
  await service.end('SIGTERM')
})
beforeEach(async () => {
  service = await startService(program, place)
})
afterEach(() => {
  service.process.kill('SIGKILL')
})
afterAll(async () => {
  program.remove()
  await remove()
})

/** Until so many requests have reached the service, of which the log tells. */
async function untilHeard(requests: number): Promise<void> {
  while ((service.output().match(/"incoming request"/g) ?? []).length < requests) await sleep(5)
}

/** Until it has heard the signal and lets nobody in. */
async function untilRefused(): Promise<void> {
  while (await letsIn()) await sleep(10)
}

const port = () => Number(new URL(service.address).port)

/** Whether somebody new is let in. */
function letsIn(): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = connect(port(), '127.0.0.1')
    socket.once('connect', () => {
      socket.destroy()
      resolve(true)
    })
    socket.once('error', () => resolve(false))
  })
}

/** Sends a request by hand. @returns what came back until the service hung up */
function byHand(head: string, ...later: { after: Promise<unknown>; text: string }[]): Promise<string> {
  return new Promise((resolve) => {
    const socket = connect(port(), '127.0.0.1', async () => {
      socket.write(head)
      for (const { after, text } of later) {
        await after
        socket.write(text)
      }
    })
    let answer = ''
    socket.setEncoding('utf8').on('data', (chunk) => {
      answer += chunk
    })
    socket.on('error', () => {})
    socket.on('close', () => resolve(answer))
  })
}

/** Sends half of a unit by hand, and the rest later. @returns what came back */
function halfAUnit(name: string, later: Promise<unknown>): Promise<string> {
  const body = JSON.stringify({ name, scaleMm: 28 })
  const head = [
    'POST /api/v1/units HTTP/1.1',
    `Host: 127.0.0.1:${port()}`,
    `Origin: ${service.address}`,
    `Cookie: ${odile.cookie}`,
    'Content-Type: application/json',
    `Content-Length: ${Buffer.byteLength(body)}`,
  ]
  return byHand(`${head.join('\r\n')}\r\n\r\n${body.slice(0, 10)}`, { after: later, text: body.slice(10) })
}

test.each(['SIGTERM', 'SIGINT'] as const)('%s lets everybody finish, and it ends well', async (signal) => {
  // Each hashes a password, so that these take a while on any machine.
  const wrong = { email: 'owner@group.example', password: 'four other words' }
  const slow = Array.from({ length: 4 }, () => odile.post('/sessions', wrong))
  const written = Array.from({ length: 6 }, (_, index) =>
    odile.post('/units', { name: `${signal} Otters ${index}`, scaleMm: 28 }),
  )
  await untilHeard(10)
  const ended = service.end(signal)
  expect((await Promise.all(slow)).map(({ status }) => status)).toEqual(Array(4).fill(401))
  expect((await Promise.all(written)).map(({ status }) => status)).toEqual(Array(6).fill(201))
  expect(await ended).toBe(0)
  expect(service.output()).toContain(`${signal}: finishing what is in flight`)
  service = await startService(program, place)
  const { items } = (await odile.get(`/units?q=${signal}%20otters`)).json() as { items?: { name: string }[] }
  expect(items?.filter(({ name }) => name.startsWith(signal))).toHaveLength(6)
})

test('nobody new is let in while a body that is still coming in is waited for, and answered', async () => {
  const refused = Promise.withResolvers<void>()
  const answer = halfAUnit('Slow Otters', refused.promise)
  await untilHeard(1)
  const ended = service.end('SIGTERM')
  await untilRefused()
  refused.resolve()
  expect(await answer).toMatch(/^HTTP\/1\.1 201 /)
  expect(await ended).toBe(0)
})

test('whoever just stays connected does not keep it', async () => {
  const silent = byHand('')
  const idle = byHand(`GET /sign-in HTTP/1.1\r\nHost: 127.0.0.1:${port()}\r\n\r\n`)
  // Who is in the middle of something outlives both, and is answered.
  const answer = halfAUnit('Patient Otters', Promise.all([silent, idle]))
  await untilHeard(2)
  expect(await service.end('SIGTERM')).toBe(0)
  expect(await answer).toMatch(/^HTTP\/1\.1 201 /)
  expect(await silent).toBe('')
  expect(await idle).toMatch(/^HTTP\/1\.1 200 /)
})

test('nor does one who never finishes a request, for longer than a while', async () => {
  const never = halfAUnit('Endless Otters', new Promise(() => {}))
  await untilHeard(1)
  expect(await service.end('SIGTERM')).toBe(0)
  // Whoever is waited for until the time for a request is over gets 408 from Node.
  expect(await never).toBe('')
})
