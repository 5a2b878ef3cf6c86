import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { FolderInUse, holdFolder } from '../../db/folder-lock.ts'

let folder: string
let children: ChildProcess[]
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'understudy-lock-'))
  children = []
})
afterEach(() => {
  for (const child of children) child.kill('SIGKILL')
  rmSync(folder, { recursive: true, force: true })
})

const lock = () => join(folder, 'in-use.json')

/** Another process that takes the folder and keeps it. @returns its first word: `held` or `refused` */
async function holder(): Promise<{ child: ChildProcess; word: string }> {
  const script = `import { holdFolder } from ${JSON.stringify(new URL('../../db/folder-lock.ts', import.meta.url).href)}
    await holdFolder(process.argv[1]).then(() => console.log('held'), () => console.log('refused'))
    setTimeout(() => {}, 60_000)`
  const child = spawn(process.execPath, ['--input-type=module', '-e', script, folder], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  children.push(child)
  const [chunk] = await once(child.stdout, 'data')
  return { child, word: String(chunk).trim() }
}

async function kill(child: ChildProcess): Promise<void> {
  children = children.filter((other) => other !== child)
  const gone = once(child, 'exit')
  child.kill('SIGKILL')
  await gone
}

/** A lock as some other process would have left it, made from one of our own. */
async function leftBehind(changes: Record<string, unknown>): Promise<void> {
  const release = await holdFolder(folder)
  const text = readFileSync(lock(), 'utf8')
  release()
  writeFileSync(lock(), JSON.stringify({ ...JSON.parse(text), ...changes }))
}

test('a second process is refused and told who holds the folder', async () => {
  const { child } = await holder()
  const attempt = holdFolder(folder)
  await expect(attempt).rejects.toThrow(FolderInUse)
  await expect(attempt).rejects.toThrow(new RegExp(`${folder} is in use by process ${child.pid} on .+ since 20..-`))
})

test('nor can the same process take it twice, until it lets go', async () => {
  const release = await holdFolder(folder)
  await expect(holdFolder(folder)).rejects.toThrow(FolderInUse)
  release()
  const again = await holdFolder(folder)
  again()
  expect(readdirSync(folder)).toEqual([])
})

test('the lock of a killed process is taken over at once', async () => {
  const { child } = await holder()
  await kill(child)
  const begun = performance.now()
  const release = await holdFolder(folder)
  expect(performance.now() - begun).toBeLessThan(1_000)
  release()
})

test('of many that find a killed process, exactly one takes over', async () => {
  for (let round = 0; round < 3; round++) {
    const { child } = await holder()
    await kill(child)
    const words = (await Promise.all([1, 2, 3, 4, 5, 6].map(holder))).map(({ word }) => word)
    expect(words.sort()).toEqual(['held', 'refused', 'refused', 'refused', 'refused', 'refused'])
    await Promise.all(children.map(kill))
  }
})

test.runIf(process.platform === 'linux')('a process number that was given out again is not the holder', async () => {
  await leftBehind({ began: '1' })
  const release = await holdFolder(folder)
  release()
})

test('a holder in another container or machine is believed alive while it touches its lock', async () => {
  await leftBehind({ pids: 'pid:[1]', boot: 'another', host: 'another' })
  const beat = setInterval(() => utimesSync(lock(), new Date(), new Date()), 100)
  await expect(holdFolder(folder, 1_000)).rejects.toThrow('on another')
  clearInterval(beat)
})

test('and gone when it does not', async () => {
  await leftBehind({ pids: 'pid:[1]', boot: 'another', host: 'another' })
  const begun = performance.now()
  const release = await holdFolder(folder, 1_000)
  expect(performance.now() - begun).toBeGreaterThan(900)
  release()
})

test('a holder does touch its lock', async () => {
  const release = await holdFolder(folder)
  utimesSync(lock(), new Date(0), new Date(0))
  await sleep(3_500)
  expect(Date.now() - statSync(lock()).mtimeMs).toBeLessThan(3_000)
  release()
})

test('a lock whose writer was killed before it had written is taken over', async () => {
  writeFileSync(lock(), '')
  const release = await holdFolder(folder)
  release()
})

test('nor does a process that was killed while it took over stop the next', async () => {
  await leftBehind({ began: '1' })
  writeFileSync(`${lock()}.taking`, '')
  utimesSync(`${lock()}.taking`, new Date(0), new Date(0))
  const release = await holdFolder(folder)
  expect(readdirSync(folder)).toEqual(['in-use.json'])
  release()
})

test('a lock that may not be looked at is an error, not an endless wait', async () => {
  mkdirSync(lock())
  await expect(holdFolder(folder)).rejects.toThrow('EISDIR')
})
