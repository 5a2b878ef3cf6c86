import { measureFiles } from '../../web/mesh/measure-files.ts'
import { figureStl } from './figure.ts'
import { cpuMs, type Line, met } from './measure.ts'

/*
 * How long it takes to measure a mesh: 200 MB of binary STL, and a supported figure of 50 mm and 1.5 million triangles
 * layer by layer. Goals are held against processor time, which others' work does not lengthen.
 * `npm run bench -- mesh`; `-- mesh browser` does the same in a worker of Chromium, and tells the longest task of the page
 * meanwhile.
 */

const cases = [
  { name: '200 MB of binary STL', triangles: 4e6, layerUm: null, goalS: 6 },
  { name: '1.5 million triangles, in layers of 50 µm', triangles: 1.5e6, layerUm: 50, goalS: 10 },
]

/** @returns whether each file is measured within its goal */
export async function benchMesh([where]: string[]): Promise<boolean> {
  if (where === 'browser') {
    const { measureInBrowser } = await import('./mesh-browser.ts')
    return (await measureInBrowser(cases)).map(met).every(Boolean)
  }
  const lines: Line[] = []
  for (const one of cases) lines.push(...(await measureHere(one)))
  return lines.map(met).every(Boolean)
}

export type MeshCase = (typeof cases)[number]

async function measureHere({ name, triangles, layerUm, goalS }: MeshCase): Promise<Line[]> {
  const file = new File([figureStl(triangles)], 'figure.stl')
  const steps: [number, string][] = []
  const before = cpuMs()
  const measure = await measureFiles({ files: [file], unit: 'mm', layerUm }, (_, doing) => {
    if (steps.at(-1)?.[1] !== doing) steps.push([cpuMs(), doing])
  })
  const after = cpuMs()
  const parts = steps.map(([from, doing], place): Line => {
    return { what: `  ${doing}`, value: ((steps[place + 1]?.[0] ?? after) - from) / 1000, unit: 's' }
  })
  return [
    { what: `${name} (${(file.size / 1e6).toFixed(0)} MB)`, value: (after - before) / 1000, unit: 's', goal: goalS },
    ...parts,
    { what: '  shells', value: measure.shells, unit: '' },
    { what: '  begins in mid-air', value: measure.midAir?.length ?? 0, unit: '' },
    { what: '  memory of this process', value: process.memoryUsage.rss() / 1e6, unit: 'MB' },
  ]
}
