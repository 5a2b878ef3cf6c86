import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { type AddressInfo, createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { promisify } from 'node:util'
import { build } from 'esbuild'
import type { Place } from '../../db/connect.ts'
import { noBundles } from '../support/no-assets.ts'
import { until } from '../support/until.ts'

const root = join(import.meta.dirname, '../..')

/**
 * The service as a program: `server/main.ts` itself in few files, since starting it a hundred times has to be quick; what it
 * loads when it is first used stays in files of its own.
 */
export interface Program {
  path: string
  remove(): void
}

export async function buildProgram(): Promise<Program> {
  const folder = mkdtempSync(join(tmpdir(), 'understudy-program-'))
  const path = join(folder, 'server/main.js')
  await build({
    entryPoints: {
      main: join(root, 'server/main.ts'),
      'fit-thread': join(root, 'server/features/evidence/fit-thread.ts'),
      worker: join(root, 'server/planning/worker.ts'),
    },
    outdir: join(folder, 'server'),
    bundle: true,
    splitting: true,
    packages: 'external',
    platform: 'node',
    format: 'esm',
    target: 'node24',
    jsx: 'automatic',
    jsxImportSource: 'preact',
    logLevel: 'warning',
  })
  // The pages only need names to link.
  mkdirSync(join(folder, 'web/assets'), { recursive: true })
  writeFileSync(join(folder, 'web/assets/manifest.json'), JSON.stringify(noBundles))
  writeFileSync(join(folder, 'web/assets', noBundles.css), '')
  writeFileSync(join(folder, 'package.json'), '{ "type": "module" }')
  symlinkSync(join(root, 'node_modules'), join(folder, 'node_modules'))
  return { path, remove: () => rmSync(folder, { recursive: true, force: true }) }
}

export interface Running {
  process: ChildProcess
  /** `http://127.0.0.1:12345` */
  address: string
  /** Everything it has written so far. */
  output(): string
  /** Sends the signal. @returns the exit code, or null when it was killed */
  end(signal: NodeJS.Signals): Promise<number | null>
}

/** A port where nobody listens just now, for a program that has to be told its address before it starts. */
export async function freePort(): Promise<string> {
  const server = createServer().listen(0, '127.0.0.1')
  await once(server, 'listening')
  const { port } = server.address() as AddressInfo
  await promisify(server.close.bind(server))()
  return String(port)
}

/** Settings with which the program listens beyond loopback, and is reached on it. */
export async function openToOthers(): Promise<{ HOST: string; PORT: string; PUBLIC_URL: string }> {
  const PORT = await freePort()
  return { HOST: '0.0.0.0', PORT, PUBLIC_URL: `http://127.0.0.1:${PORT}` }
}

/** How the program is told of a database. */
export const environmentOf = (place: Place) => ({ DATABASE_URL: place.url, DATA_DIR: place.dataDir })

/** As `npm start` has them: with a heap that grows less greedily, in which a fit of a million plates has room all the same. */
const flags = readFileSync(join(root, 'package.json'), 'utf8').match(/--[\w-]+=\d+(?=.* dist\/server)/g) ?? []

/** Starts the program. Nothing of the test's own environment that it reads is passed on. */
export function spawnProgram(program: Program, env: Record<string, string | undefined>): ChildProcess {
  const quiet = {
    PORT: '0',
    HOST: '',
    DEMO: 'off',
    LOG_LEVEL: 'info',
    TRUST_PROXY: '',
    DATABASE_URL: '',
    DATA_DIR: '',
    WRITES_PER_MINUTE: '1000000',
    WRITES_PER_DAY: '1000000',
  }
  return spawn(process.execPath, [...flags, program.path], {
    env: { ...process.env, ...quiet, PUBLIC_URL: '', ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
  })
}

/** Starts the service on a database and waits until it listens. @throws Error with all it said when it ends before */
export async function startService(program: Program, place: Place, env: Record<string, string> = {}): Promise<Running> {
  const child = spawnProgram(program, { ...environmentOf(place), ...env })
  let output = ''
  const gone = once(child, 'exit')
  child.stderr?.on('data', (chunk) => {
    output += chunk
  })
  const address = await new Promise<string>((resolve, reject) => {
    createInterface({ input: child.stdout ?? process.stdin }).on('line', (line) => {
      output += `${line}\n`
      const [, found] = /^Understudy listens at (\S+)$/.exec(line) ?? []
      if (found) resolve(found)
    })
    child.once('exit', (code) => reject(new Error(`it ended with ${code} before it listened: ${output}`)))
  })
  return {
    process: child,
    address,
    output: () => output,
    async end(signal) {
      child.kill(signal)
      const [code] = await gone
      return code
    },
  }
}

/** Runs the program until it ends by itself. @returns its exit code and what it said */
export async function runToEnd(program: Program, env: Record<string, string | undefined>) {
  const child = spawnProgram(program, env)
  let said = ''
  for (const stream of [child.stdout, child.stderr])
    stream?.on('data', (chunk) => {
      said += chunk
    })
  const [code] = await once(child, 'close')
  return { code: code as number | null, said }
}

/** The code that the set-up page asks for. It is printed a line after the address, so that it may take a moment. */
export async function setupCodeOf({ output }: Pick<Running, 'output'>): Promise<string> {
  return until(() => /asks for this code: (\S+)\n/.exec(output())?.[1])
}
