import { expect } from 'vitest'
import { password } from '../support/app.ts'

/** An answer that came over the wire. */
export interface Answer {
  status: number
  headers: Headers
  text: string
  json(): Record<string, unknown> & { id: string }
}

/** Somebody who talks to a service over the wire, signed in or not; the address may change from start to start. */
export class Client {
  readonly addressOf: () => string
  cookie = ''

  constructor(addressOf: () => string) {
    this.addressOf = addressOf
  }

  async send(method: string, path: string, body?: unknown, headers: Record<string, string> = {}): Promise<Answer> {
    const answer = await fetch(`${this.addressOf()}${path}`, {
      method,
      redirect: 'manual',
      headers: {
        origin: this.addressOf(),
        cookie: this.cookie,
        ...(body !== undefined && { 'content-type': 'application/json' }),
        ...headers,
      },
      ...(body !== undefined && { body: JSON.stringify(body) }),
    })
    const text = await answer.text()
    const [cookie] = answer.headers.getSetCookie()
    if (cookie) this.cookie = cookie.split(';')[0] ?? ''
    return { status: answer.status, headers: answer.headers, text, json: () => JSON.parse(text) }
  }

  get = (path: string) => this.send('GET', `/api/v1${path}`)
  post = (path: string, body?: unknown, headers?: Record<string, string>) =>
    this.send('POST', `/api/v1${path}`, body, headers)
  put = (path: string, body?: unknown) => this.send('PUT', `/api/v1${path}`, body)

  /** Posts what has to be made. @returns its id */
  async make(path: string, body: unknown): Promise<string> {
    const answer = await this.post(path, body)
    expect([answer.status, path, answer.status === 201 ? '' : answer.text]).toEqual([201, path, ''])
    return answer.json().id
  }

  /** Sets the group up, and stays signed in as its owner. */
  async setUp(setupCode?: string): Promise<void> {
    const owner = { name: 'Odile', email: 'owner@group.example', password }
    const answer = await this.post('/setup', { groupName: 'The Thursday table', currency: 'EUR', owner, setupCode })
    expect(answer.status).toBe(201)
  }
}
