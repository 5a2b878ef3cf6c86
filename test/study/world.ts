import type { Crowding } from '../../server/scoring/model.ts'
import type { Plate, Print } from '../../server/scoring/plates.ts'
import type { Random } from '../../server/scoring/random.ts'
import { anyOf } from './drawn-group.ts'
import { type Film, newFilm, successOfFilm } from './film.ts'
import { average, logit, sigmoid } from './logistic.ts'
import { type Habits, habitsOf, lookAt, tableOfGroup } from './seen.ts'
import type { WorldOptions } from './world-options.ts'

/**
 * Groups that are not drawn from the model: no Betas, no urns, no change points. Everything is on the logit scale, copies
 * of a print and of a plate share luck of their own, films fade, some rooms are cold in winter, and something may happen
 * to a plate that takes most of it. (All figures: common practice, no source.)
 */
export type World = {
  /** as reported */
  plates: Plate[]
  /** true success by line, and whose it is */
  lines: Map<string, { sculptor: string; success: number }>
  /** true success of a printer's upkeep period as its last reported plate found it */
  machines: Map<string, number>
  /** by plate of which something failed: true shares of file, machine and plate, each failed stage of a copy alike */
  causes: Map<string, readonly [file: number, machine: number, plate: number]>
  /** true success of an about full plate, and of a machine in order, in the middle of all */
  fullPlate: number
  inOrder: number
  /** by line, copies reported, and those that the file itself did not let down: what nobody can know */
  own: Map<string, { good: number; tried: number }>
  /** by plate, how many plates ago its printer's film began to fade: 0 and less, not yet */
  fadedFor: Map<string, number>
  /** plates that were printed, reported or not */
  printed: number
  /** prints copies of a line on the next plate of a period's printer, about full: how many come out good */
  printNext: (line: string, period: string, copies: number, random: Random) => number
}

type Line = { name: string; sculptor: string; logit: number; popularity: number }
type Printer = { name: string; logit: number; isCold: boolean; film: Film; habits: Habits; upkeeps: number }
/** What a plate is up against, when it is printed. */
type Conditions = { machine: number; film: number; day: number }

const luckOfPrint = 0.5
const luckOfPlate = 0.7
const luckOfMachine = 0.4
const inOrder = 0.965
/** What a room that is cold takes of the logit, for a quarter of the year. */
const cold = 1
const winterDays = 90
/** Of a plate to which something happens, so many copies fail. */
const lostByMishap = 0.8
const crowdings = ['half empty', 'about full', 'packed'] as const
const fullness = { 'half empty': 0.985, 'about full': 0.955, packed: 0.88 } as const
const daysOfGroup = 450

export function invent(options: WorldOptions, random: Random): World {
  return new Group(options, random).report()
}

class Group {
  readonly #options: WorldOptions
  readonly #random: Random
  readonly #lines: Line[]
  readonly #printers: Printer[]
  readonly #world: World
  readonly #conditions = new Map<string, Conditions>()

  constructor(options: WorldOptions, random: Random) {
    this.#options = options
    this.#random = random
    this.#lines = inventLines(options.lines ?? Math.max(5, Math.round(1.1 * options.reports ** 0.75)), random)
    this.#printers = inventPrinters(options, random)
    this.#world = {
      plates: [],
      lines: new Map(
        this.#lines.map(({ name, sculptor, logit }) => [name, { sculptor, success: average(logit, luckOfPrint) }]),
      ),
      machines: new Map(),
      causes: new Map(),
      own: new Map(),
      fadedFor: new Map(),
      printed: 0,
      fullPlate: average(logit(fullness['about full']), luckOfPlate),
      inOrder: this.#success({ machine: logit(inOrder), film: 1, day: daysOfGroup / 2 }),
      printNext: (line, period, copies, stream) => this.#printNext(line, period, copies, stream),
    }
  }

  report(): World {
    const { reports } = this.#options
    while (this.#world.plates.length < reports) {
      const day = Math.floor((daysOfGroup * this.#world.plates.length) / reports)
      this.#printPlate(anyOf(this.#printers, this.#random), day)
    }
    for (const [period, conditions] of this.#conditions) {
      if (this.#world.plates.some((plate) => plate.period === period)) {
        this.#world.machines.set(period, this.#success(conditions))
      }
    }
    return this.#world
  }

  /** True success at the machine, mishaps among the rest. */
  #success({ machine, film }: Conditions): number {
    return film * average(machine, luckOfMachine) * (1 - this.#options.mishaps * lostByMishap)
  }

  #conditionsOf({ logit: own, isCold, film }: Printer, day: number): Conditions {
    const isWinter = day % 365 < winterDays
    return { machine: own - (isCold && isWinter ? cold : 0), film: successOfFilm(film), day }
  }

  #printPlate(printer: Printer, day: number): void {
    const random = this.#random
    const period = `${printer.name}/${printer.upkeeps}`
    const conditions = this.#conditionsOf(printer, day)
    const crowding = crowdings[random.uniform() < 0.3 ? 0 : random.uniform() < 0.7 ? 1 : 2] ?? 'about full'
    const copies = { 'half empty': 1, 'about full': 3, packed: 6 }[crowding] + Math.floor(5 * random.uniform())
    const fates = this.#fatesOf(spreadOver(copies, this.#pickLines()), crowding, conditions, random)
    const fadedFor = printer.film.age - printer.film.life
    printer.film.age++
    this.#world.printed++
    const failed = fates.reduce((sum, { causes }) => sum + causes.length, 0)
    if (failed > 0 || random.uniform() < this.#options.goodReported) {
      const id = `plate ${this.#world.plates.length}`
      this.#keep(id, period, crowding, day, printer, fates)
      this.#conditions.set(period, conditions)
      this.#world.fadedFor.set(id, fadedFor)
    }
    this.#upkeep(printer, failed / copies)
  }

  #pickLines(): Line[] {
    const number = this.#random.uniform() < 0.75 ? 1 : 2
    return Array.from({ length: number }, () => {
      let left = this.#random.uniform() * this.#lines.reduce((sum, { popularity }) => sum + popularity, 0)
      const found = this.#lines.find(({ popularity }) => {
        left -= popularity
        return left < 0
      })
      return found ?? anyOf(this.#lines, this.#random)
    })
  }

  /** By print, its failed copies with the stages that failed. */
  #fatesOf(prints: readonly Printed[], crowding: Crowding, { machine, film }: Conditions, random: Random): Fate[] {
    const machineLuck = sigmoid(machine + luckOfMachine * random.normal()) * film
    const lost = random.uniform() < this.#options.mishaps ? lostByMishap : 0
    const plateLuck = sigmoid(logit(fullness[crowding]) + luckOfPlate * random.normal())
    return prints.map(({ line, copies }) => {
      const pass = [sigmoid(line.logit + luckOfPrint * random.normal()), machineLuck * (1 - lost), plateLuck]
      const causes = Array.from({ length: copies }, () =>
        pass.flatMap((p, stage) => (random.uniform() < p ? [] : [stage])),
      )
      return { line, copies, causes: causes.filter((failed) => failed.length > 0) }
    })
  }

  #keep(
    id: string,
    period: string,
    crowding: Crowding,
    day: number,
    { habits }: Printer,
    fates: readonly Fate[],
  ): void {
    const prints = fates.map(({ line, copies, causes }): Print => {
      const failures = causes.map((failed) => ({
        seen: lookAt(failed, habits, this.#options, this.#random),
        copies: 1,
      }))
      return { line: line.name, sculptor: line.sculptor, good: copies - failures.length, failures }
    })
    this.#world.plates.push({ id, period, crowding, day, prints })
    for (const { line, copies, causes } of fates) {
      const { good, tried } = this.#world.own.get(line.name) ?? { good: 0, tried: 0 }
      const bad = causes.filter((failed) => failed.includes(0)).length
      this.#world.own.set(line.name, { good: good + copies - bad, tried: tried + copies })
    }
    const all = fates.flatMap(({ causes }) => causes)
    if (all.length === 0) return
    const share = (stage: number) =>
      all.reduce((sum, failed) => sum + (failed.includes(stage) ? 1 / failed.length : 0), 0) / all.length
    this.#world.causes.set(id, [share(0), share(1), share(2)])
  }

  /** A film that fades is changed after bad plates sooner or later; some are changed for no reason. */
  #upkeep(printer: Printer, failed: number): void {
    const { changedAfter } = this.#options
    const isFaded = successOfFilm(printer.film) < 0.9
    const chance = isFaded ? 0.04 + 0.2 * failed : 0.008
    const isDue = changedAfter === undefined ? this.#random.uniform() < chance : hasFadedFor(printer.film, changedAfter)
    if (!isDue) return
    printer.upkeeps++
    printer.film = newFilm(this.#options.filmLife, this.#random)
  }

  #printNext(name: string, period: string, copies: number, random: Random): number {
    const line = this.#lines.find((one) => one.name === name)
    const conditions = this.#conditions.get(period)
    if (!line || !conditions) throw new Error(`nothing is known of ${name} on ${period}`)
    const [fate] = this.#fatesOf([{ line, copies }], 'about full', conditions, random)
    return copies - (fate?.causes.length ?? 0)
  }
}

const hasFadedFor = ({ age, life }: Film, plates: number) => age - life >= plates

type Printed = { line: Line; copies: number }
type Fate = Printed & { causes: number[][] }

/** Copies of a plate on its files: one may get them all. */
function spreadOver(copies: number, lines: readonly Line[]): Printed[] {
  const [first, second] = lines
  if (!first) return []
  if (!second || second === first || copies < 2) return [{ line: first, copies }]
  const half = Math.ceil(copies / 2)
  return [
    { line: first, copies: half },
    { line: second, copies: copies - half },
  ]
}

/** Sculptors differ, their files differ more, and one in twelve is botched. */
function inventLines(count: number, random: Random): Line[] {
  const sculptors = Array.from({ length: 2 + Math.floor(count / 5) }, (_, at) => {
    return { name: `sculptor ${at}`, logit: logit(0.89) + 0.5 * random.normal() }
  })
  return Array.from({ length: count }, (_, at) => {
    const sculptor = anyOf(sculptors, random)
    const botched = random.uniform() < 1 / 12 ? 2 : 0
    return {
      name: `line ${at}`,
      sculptor: sculptor.name,
      popularity: Math.exp(0.8 * random.normal()),
      logit: sculptor.logit + 0.8 * random.normal() - botched,
    }
  })
}

/** A printer each, every third member two. */
function inventPrinters({ members, coldRooms, filmLife }: WorldOptions, random: Random): Printer[] {
  const table = tableOfGroup(random)
  return Array.from({ length: members }, (_, member) => {
    const habits = habitsOf(table, random)
    return Array.from(
      { length: member % 3 === 2 ? 2 : 1 },
      (_, own): Printer => ({
        name: `printer ${member}.${own}`,
        logit: logit(inOrder) + 0.5 * random.normal(),
        isCold: random.uniform() < coldRooms,
        film: newFilm(filmLife, random, Math.floor(filmLife * random.uniform())),
        habits,
        upkeeps: 0,
      }),
    )
  }).flat()
}
