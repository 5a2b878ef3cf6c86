import { benchFit } from './fit.ts'

/** `npm run bench -- NAME`: measures one thing, prints what was measured, and fails where it misses a goal. */
const benches: Record<string, (scale: number) => boolean> = { fit: benchFit }

const [name = '', scale = '1'] = process.argv.slice(2)
const bench = Object.hasOwn(benches, name) ? benches[name] : undefined
if (!bench || !(Number(scale) > 0)) {
  console.error(`usage: npm run bench -- ${Object.keys(benches).join(' | ')} [SCALE, 1 when left out]`)
  process.exitCode = 2
} else if (!bench(Number(scale))) process.exitCode = 1
