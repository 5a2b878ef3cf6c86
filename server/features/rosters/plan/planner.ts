import type { Server } from 'node:http'
import { finished, type Writable } from 'node:stream'
import type { Db } from '../../../../db/connect.ts'
import type { App } from '../../../http/route.ts'
import type { Viewer } from '../../../http/session.ts'
import type { PlanResult, Progress } from '../../../planning/plan-result.ts'
import { startPlan } from '../../../planning/start-plan.ts'
import type { RosterFacts } from './facts.ts'
import { type FirstPlan, firstPlan } from './first-plan.ts'
import { begins } from './limits.ts'
import { outcomeOf } from './outcome.ts'
import type { AskedPlan } from './schema.ts'
import { beat, claimPlan, earlierOffers, endPlan } from './stored.ts'
import type { Outcome } from './stored-schema.ts'

/** How often a running plan says that it is alive, and looks whether it is to stop. */
const beatMs = 500

/** What the solver has told since the last beat. */
interface News {
  progress: Progress | null
  better: PlanResult | null
}

/** A roster that is the viewer's own. */
interface PlannedRoster {
  id: string
  listVersion: number
}

type Log = Pick<App['log'], 'error'>

interface Running {
  stop: () => void
  done: Promise<void>
}

/**
 * The plans that this process is solving. Each stands in the database from its start, first with the greedy plan, then
 * with each better one; whoever asks, of whichever process, reads it there.
 */
export class Planner {
  readonly #running = new Map<string, Running>()
  readonly #log: Log

  constructor(log: Log) {
    this.#log = log
  }

  /**
   * Plans a roster for its owner. The greedy plan is stored at once; a better one is looked for once that is answered.
   *
   * @param db not a transaction: the plan outlives the request
   * @param answer what the greedy plan is answered with
   * @returns what it is planned from
   * @throws Problem 409 while it is being solved, or as many others of theirs as may be, 422 as `firstPlan`, 429
   */
  async plan(db: Db, viewer: Viewer, roster: PlannedRoster, asked: AskedPlan, answer: Writable): Promise<RosterFacts> {
    const { id, begun } = await begins(viewer.id, () => begin(db, viewer, roster, asked))
    // Solving would take the processor that the answer is made with. It goes on where nobody waits for that any more.
    finished(answer, () => void this.#solve(db, id, begun))
    return begun.facts
  }

  /** As `plan`, to its end, where nobody waits for an answer. */
  async planThrough(db: Db, viewer: Viewer, roster: PlannedRoster, asked: AskedPlan): Promise<void> {
    const { id, begun } = await begin(db, viewer, roster, asked)
    await this.#solve(db, id, begun)
  }

  async #solve(db: Db, id: string, { drawn, facts, greedy, naive, timeLimitS }: FirstPlan): Promise<void> {
    const news: News = { progress: null, better: null }
    const { result, stop } = startPlan(drawn.instance, {
      timeLimitS,
      known: greedy,
      onProgress: (progress) => {
        news.progress = progress
      },
      onBetter: (better) => {
        news.better = better
      },
    })
    const cameTo = (better: PlanResult) => outcomeOf(better, naive, drawn, facts)
    const timer = setInterval(() => void this.#beat(db, id, news, cameTo, stop), beatMs)
    const done = result
      .then((ended) => {
        if (ended.failure) this.#log.error({ plan: id, failure: ended.failure }, 'plan')
        return endPlan(db, id, cameTo(ended))
      })
      // Its heart no longer beats: whoever looks is told that it was lost, and sees the best until then.
      .catch((error: unknown) => this.#log.error({ err: error, plan: id }, 'plan'))
      .finally(() => {
        clearInterval(timer)
        this.#running.delete(id)
      })
    this.#running.set(id, { stop, done })
    return done
  }

  /** While the database is away the plan goes on; it may be back by the next time. */
  async #beat(
    db: Db,
    id: string,
    news: News,
    cameTo: (better: PlanResult) => Outcome,
    stop: () => void,
  ): Promise<void> {
    const { progress, better } = news
    news.better = null
    try {
      if ((await beat(db, id, { progress, outcome: better && cameTo(better) })) !== false) stop()
    } catch (error) {
      news.better ??= better
      this.#log.error({ err: error, plan: id }, 'plan')
    }
  }

  /** Ends all plans with the best so far, and waits until they are kept. */
  async close(): Promise<void> {
    for (const { stop } of this.#running.values()) stop()
    await Promise.all([...this.#running.values()].map(({ done }) => done))
  }
}

/** Stores the greedy plan. @throws Problem as `Planner.plan` */
async function begin(db: Db, viewer: Viewer, { id: rosterId, listVersion }: PlannedRoster, asked: AskedPlan) {
  const earlier = await earlierOffers(db, rosterId)
  const begun = await firstPlan(db, viewer, rosterId, asked, earlier)
  const outcome = outcomeOf(begun.greedy, begun.naive, begun.drawn, begun.facts)
  const id = await claimPlan(db, rosterId, { listVersion, asked, instance: begun.drawn.instance, outcome })
  return { id, begun }
}

const planners = new WeakMap<Server, Planner>()

/** The planner of this service, the same for its pages and its API. */
export function plannerOf(app: App): Planner {
  const server = app.server as Server
  const known = planners.get(server)
  if (known) return known
  const planner = new Planner(app.log)
  planners.set(server, planner)
  app.addHook('onClose', () => planner.close())
  return planner
}
