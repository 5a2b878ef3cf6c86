import { register } from 'tsx/esm/api'

// Some start the service, whose pages are TSX, which Node can't read by itself.

/** `npm run bench -- NAME …`: measures one thing, prints what was measured, and fails where a goal is missed. */
const benches: Record<string, (args: string[]) => Promise<boolean>> = {
  busy: async (args) => (await import('./busy.ts')).benchBusy(args),
  'first-plan': async (args) => {
    register()
    return (await import('./first-plan.ts')).benchFirstPlan(args)
  },
  fit: async (args) => {
    register()
    return (await import('./fit.ts')).benchFit(args)
  },
  mesh: async (args) => {
    register()
    return (await import('./mesh.ts')).benchMesh(args)
  },
  pages: async (args) => {
    register()
    return (await import('./pages.ts')).benchPages(args)
  },
  paint: async (args) => {
    register()
    return (await import('./paint.ts')).benchPaint(args)
  },
  plan: async (args) => (await import('./plan.ts')).benchPlan(args),
  report: async (args) => {
    register()
    return (await import('./report.ts')).benchReport(args)
  },
}

const [name = '', ...args] = process.argv.slice(2)
const bench = Object.hasOwn(benches, name) ? benches[name] : undefined
if (!bench) {
  console.error(`usage: npm run bench -- ${Object.keys(benches).join(' | ')}`)
  process.exitCode = 2
} else if (!(await bench(args))) process.exitCode = 1
