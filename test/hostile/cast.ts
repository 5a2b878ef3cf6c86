import { expect } from 'vitest'
import type { App } from '../../server/http/route.ts'
import { member, outsider, owner, Person, password, startApp } from '../support/app.ts'

/** Who comes to a route: nobody, a member whose thing it is not, the one whose thing it is, a steward, the group's owner. */
export const roles = ['outsider', 'other', 'author', 'steward', 'owner'] as const
export type Role = (typeof roles)[number]

export interface Cast extends Record<Role, Person> {
  app: App
  /** Somebody who has only just joined. */
  newcomer(role?: 'member' | 'steward'): Promise<Person>
  emailOf(person: Person): string
  /** The same person in another browser; nobody stays nobody. */
  again(person: Person): Promise<Person>
}

/** The same over a fresh database of its own. */
export async function startCast(): Promise<Cast & { close(): Promise<void> }> {
  const { app, close } = await startApp()
  return { ...(await castOf(app)), close }
}

let joined = 0

/** A group of four and somebody outside it. */
export async function castOf(app: App): Promise<Cast> {
  const odile = await owner(app)
  const emails = new Map([[odile.id, 'owner@group.example']])
  const join = async (name: string, role: 'member' | 'steward') => {
    const person = await member(odile, name, role)
    emails.set(person.id, `${name.toLowerCase()}@group.example`)
    return person
  }
  return {
    app,
    outsider: outsider(app),
    other: await join('Ben', 'member'),
    author: await join('Ada', 'member'),
    steward: await join('Stella', 'steward'),
    owner: odile,
    newcomer: (role = 'member') => join(`New${++joined}`, role),
    emailOf: (person) => emails.get(person.id) ?? '',
    again: (person) => signedIn(app, emails.get(person.id)),
  }
}

async function signedIn(app: App, email: string | undefined): Promise<Person> {
  if (!email) return outsider(app)
  const answer = await outsider(app).post('/sessions', { email, password })
  expect(answer.statusCode).toBe(201)
  const [cookie] = answer.cookies
  return new Person(app, answer.json().memberId, `${cookie?.name}=${cookie?.value}`)
}
