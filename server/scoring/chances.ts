// biome-ignore-all lint/style/noNonNullAssertion: draws indexed within their bounds by construction
import { type Draws, meanOf, productOf, quantileOfSorted } from './draws.ts'
import type { GroupDraws } from './group-draws.ts'
import { type Crowding, priors } from './model.ts'
import { oncePerRow } from './once.ts'
import { Random } from './random.ts'

/** What a print is up against: its file, the machine it goes on, and how full the plates are. */
export type Stages = { file: Draws; machine: Draws; group: GroupDraws; crowding: Crowding }

/** What is to be expected of so many copies that are printed once, and of printing until there are as many good ones. */
export type Chances = {
  /** chance that every copy comes out good */
  allGood: number
  /** how many copies fail on average */
  expectedFailures: number
  /** copies to print to have as many good ones in 9 cases of 10 */
  toPrint: number
}

/** The machine on its next plate: with the hazard of its wear it begins to be worn just there. */
export function machineOnNextPlate(machine: Draws, { hazard }: GroupDraws): Draws {
  return nextOf([machine, hazard], () => {
    const random = new Random(1)
    return machine.map((p, draw) => {
      const worn = random.beta(...priors.worn)
      return random.uniform() < hazard[draw]! ? worn : p
    })
  })
}
const nextOf = oncePerRow<Draws>()

/** The chance that a copy passes all three stages, draw by draw: the same row for the same ones. */
export function successOf({ file, machine, group, crowding }: Stages): Draws {
  const plate = group.plates[crowding]
  return successes([file, machine, plate], () => productOf(file, machine, plate))
}
const successes = oncePerRow<Draws>()

/**
 * What is to be expected of copies of one file spread over plates on one machine. Copies of a plate hang together at each
 * stage as in the scoring: the next one passes with (p + tie others passed) / (1 + tie others).
 *
 * @param plates copies on each plate, whole and > 0
 * @throws RangeError when a plate has no whole number of copies
 * @see Blackwell & MacQueen (1973), Ferguson distributions via Polya urn schemes, Annals of Statistics 1, 353-355
 */
export function chancesOf(stages: Stages, plates: readonly number[]): Chances {
  if (!plates.every((copies) => Number.isInteger(copies) && copies > 0)) {
    throw new RangeError('a plate has a whole number of copies, 1 at least')
  }
  const copies = plates.reduce((sum, onPlate) => sum + onPlate, 0)
  return {
    allGood: allGood(stages, plates),
    expectedFailures: copies * (1 - meanOf(successOf(stages))),
    toPrint: copies === 0 ? 0 : copiesToPrint(stages, copies, Math.max(...plates)),
  }
}

/** Chance that all copies of these plates come out good, without what takes longer. @param plates as for `chancesOf` */
export function allGood({ file, machine, group, crowding }: Stages, plates: readonly number[]): number {
  const plate = group.plates[crowding]
  const [fileTies, machineTies, plateTies] = group.ties
  let sum = 0
  for (let draw = 0; draw < file.length; draw++) {
    let chance = 1
    for (const copies of plates) {
      chance *=
        allPass(file[draw]!, fileTies[draw]!, copies) *
        allPass(machine[draw]!, machineTies[draw]!, copies) *
        allPass(plate[draw]!, plateTies[draw]!, copies)
    }
    sum += chance
  }
  return sum / file.length
}

/** Chance that all copies of an urn pass. */
function allPass(pass: number, tie: number, copies: number): number {
  let chance = pass
  for (let other = 1; other < copies; other++) chance *= (pass + tie * other) / (1 + tie * other)
  return chance
}

const runsPerDraw = 4
/** So many times the wanted number, nobody prints. */
const mostTimes = 20

/** 9 in 10 need no more copies than this for so many good ones, plate after plate. */
function copiesToPrint(stages: Stages, wanted: number, perPlate: number): number {
  const random = new Random(1)
  const counts = new Float64Array(runsPerDraw * stages.file.length)
  for (let run = 0; run < counts.length; run++) {
    counts[run] = runUntilGood(stages, run % stages.file.length, wanted, perPlate, random)
  }
  return Math.ceil(quantileOfSorted(counts.sort(), 0.9) - 1e-9)
}

function runUntilGood(stages: Stages, draw: number, wanted: number, perPlate: number, random: Random): number {
  const { group, crowding } = stages
  const [file, machine, plate] = [stages.file[draw]!, stages.machine[draw]!, group.plates[crowding][draw]!]
  const [fileTie, machineTie, plateTie] = [group.ties[0][draw]!, group.ties[1][draw]!, group.ties[2][draw]!]
  let [good, copies] = [0, 0]
  while (good < wanted && copies < mostTimes * wanted) {
    let [byFile, byMachine, byPlate] = [0, 0, 0]
    for (let others = 0; others < perPlate && good < wanted; others++) {
      const passesFile = random.uniform() * (1 + fileTie * others) < file + fileTie * byFile
      const passesMachine = random.uniform() * (1 + machineTie * others) < machine + machineTie * byMachine
      const passesPlate = random.uniform() * (1 + plateTie * others) < plate + plateTie * byPlate
      if (passesFile) byFile++
      if (passesMachine) byMachine++
      if (passesPlate) byPlate++
      copies++
      if (passesFile && passesMachine && passesPlate) good++
    }
  }
  return copies
}

/** Copies spread over plates as evenly as they go, the fuller ones first: 7 on 3 are 3, 2 and 2. */
export function spread(copies: number, plates: number): number[] {
  const least = Math.floor(copies / plates)
  return Array.from({ length: plates }, (_, plate) => least + (plate < copies % plates ? 1 : 0)).filter((on) => on > 0)
}
