import { setTimeout as sleep } from 'node:timers/promises'
import { Client } from 'pg'
import { inject } from 'vitest'
import type { Place } from '../../db/connect.ts'

/*
 * Tests of what waits for what don't rest on luck: a second connection holds a row, the call is made, and the server says
 * that it waits. The embedded database has one connection, on which transactions come one after the other by themselves:
 * there is nothing to hold there, and such tests run on PostgreSQL alone.
 */
export const hasConnections = inject('template').kind === 'postgresql'

export interface Held {
  /** One more statement of the transaction that holds. */
  run(statement: string, values?: unknown[]): Promise<Record<string, unknown>[]>
  /**
   * Until so many of the service's connections wait for a lock.
   *
   * @param call what should wait. @throws Error when it is over without
   */
  untilWaiting(connections?: number, call?: Promise<unknown>): Promise<void>
  /** Commits, and with it lets go. */
  letGo(): Promise<void>
}

/**
 * Begins a transaction on a connection of its own.
 *
 * @param statement what takes the lock, e.g. "select from member where id = $1 for update"
 */
export async function hold({ url }: Place, statement: string, values: unknown[] = []): Promise<Held> {
  const client = new Client({ connectionString: url })
  await client.connect()
  await client.query('begin')
  const run = async (text: string, given: unknown[] = []) => (await client.query(text, given)).rows
  await run(statement, values)
  return {
    run,
    async untilWaiting(connections = 1, call) {
      let isOver = false
      const over = () => {
        isOver = true
      }
      call?.then(over, over)
      for (; !isOver; await sleep(10)) {
        // By its own word, since the view of the others is kept for the length of a transaction.
        await client.query('select pg_stat_clear_snapshot()')
        const [row] = await run(`select count(*)::int as waiting from pg_stat_activity
          where datname = current_database() and wait_event_type = 'Lock'`)
        if (Number(row?.waiting) >= connections) return
      }
      await client.end()
      throw new Error('it does not wait for what is held')
    },
    async letGo() {
      await client.query('commit')
      await client.end()
    },
  }
}

/** One statement and its values. */
export type Statement = [text: string, ...values: unknown[]]

/**
 * Makes a call while a second connection, in the middle of its own transaction, has done something that the call has to
 * wait for; lets that one commit once the call waits.
 *
 * @param done what has been done by then, but is not committed
 * @returns what `call` gives
 * @throws Error where it does not wait
 */
export async function whileHeld<Answer>(
  place: Place,
  [text, ...values]: Statement,
  call: () => Promise<Answer>,
): Promise<Answer> {
  const held = await hold(place, text, values)
  const answer = call()
  try {
    await held.untilWaiting(1, answer)
  } catch (error) {
    await answer
    throw error
  }
  await held.letGo()
  return answer
}
