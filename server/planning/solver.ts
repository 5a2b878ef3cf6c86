import loadHighs, { type Highs, type HighsCallbackMap, type Model, type ModelData } from 'highs'

/** The package's types say CommonJS where its code is a module. */
const load = loadHighs as unknown as typeof loadHighs.default

export type Solver = Highs

/** Loads HiGHS, compiled to WebAssembly; solving blocks the thread it is called in. */
export function openSolver(): Promise<Solver> {
  return load()
}

export type SolveOptions = {
  /** `performance.now()` at which to stop at the latest */
  until: number
  /** a solution within this much of the best bound counts as best, in units of the objective */
  tolerance: number
  /** asked now and then; true ends the solve early */
  isStopped?: () => boolean
  onSolution?: (values: Float64Array) => void
  onProgress?: (progress: { incumbent: number; bound: number }) => void
}

export type Solved = {
  status: 'optimal' | 'infeasible' | 'stopped'
  /** of the best solution that was found; infinite where there is none */
  objective: number
  /** values of its columns */
  values?: Float64Array
  /** no solution has a smaller objective */
  bound: number
}

/**
 * Solves a model, or as much of it as the time allows.
 *
 * @throws Error when the solver refuses the model or fails
 */
export function solve(solver: Solver, data: ModelData, options: SolveOptions): Solved {
  if (data.numCols === 0) return solveEmpty(data)
  const seconds = (options.until - performance.now()) / 1000
  if (seconds <= 0 || options.isStopped?.()) return nothing('stopped', Number.NEGATIVE_INFINITY)
  const model = solver.createModel(data)
  try {
    model.options.set({
      output_flag: false,
      mip_rel_gap: 0,
      mip_abs_gap: options.tolerance,
      time_limit: seconds,
    })
    const { modelStatus } = model.run(callbacksOf(solver, options))
    return solvedOf(solver, model, modelStatus)
  } finally {
    model.dispose()
  }
}

/** Without columns every row reads 0. */
function solveEmpty({ rowLower, rowUpper }: ModelData): Solved {
  const fits = rowLower.every((low, row) => low <= 0 && (rowUpper[row] ?? 0) >= 0)
  return fits
    ? { status: 'optimal', objective: 0, values: new Float64Array(), bound: 0 }
    : nothing('infeasible', Number.POSITIVE_INFINITY)
}

function nothing(status: 'infeasible' | 'stopped', bound: number): Solved {
  return { status, objective: Number.POSITIVE_INFINITY, bound }
}

function callbacksOf({ constants }: Solver, { isStopped, onSolution, onProgress }: SolveOptions): HighsCallbackMap {
  const { mipInterrupt, mipImprovingSolution } = constants.callbackType
  return {
    [mipInterrupt](event: { data: CallbackNumbers; interrupt(): void }) {
      const { mip_primal_bound: incumbent, mip_dual_bound: bound } = event.data
      if (incumbent !== undefined && bound !== undefined) onProgress?.({ incumbent, bound })
      if (isStopped?.()) event.interrupt()
    },
    [mipImprovingSolution](event: { data: { mip_solution?: Float64Array } }) {
      if (event.data.mip_solution) onSolution?.(event.data.mip_solution)
    },
  }
}

type CallbackNumbers = { mip_primal_bound?: number; mip_dual_bound?: number }

function solvedOf({ constants }: Solver, model: Model, modelStatus: number): Solved {
  const { optimal, infeasible, timeLimit, interrupted } = constants.modelStatus
  if (modelStatus === infeasible) return nothing('infeasible', Number.POSITIVE_INFINITY)
  if (modelStatus !== optimal && modelStatus !== timeLimit && modelStatus !== interrupted) {
    throw new Error(`the solver ended in state ${modelStatus}`)
  }
  const hasSolution = model.info.get('primal_solution_status') === constants.solutionStatus.feasible
  const isOptimal = modelStatus === optimal
  const bound = boundOf(model, isOptimal)
  if (!hasSolution) return nothing('stopped', bound)
  return {
    status: isOptimal ? 'optimal' : 'stopped',
    objective: model.getObjectiveValue(),
    values: model.getSolution().colValue,
    bound,
  }
}

/** Without integer columns there is no bound apart from the optimum itself. */
function boundOf(model: Model, isOptimal: boolean): number {
  const bound = Number(model.info.get('mip_dual_bound'))
  return Number.isFinite(bound) || !isOptimal ? bound : model.getObjectiveValue()
}
