import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
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

/** Another process that takes the folder and keeps it. @returns its first word: `held` or `refused` */
async function holder(): Promise<{ child: ChildProcess; word: string }> {
  const script = `import { holdFolder } from ${JSON.stringify(new URL('../../db/folder-lock.ts', import.meta.url).href)}
    try { globalThis.release = holdFolder(process.argv[1]); console.log('held') } catch { console.log('refused') }
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

test('a second process is refused and told who holds the folder', async () => {
  const { child } = await holder()
  expect(() => holdFolder(folder)).toThrow(FolderInUse)
  expect(() => holdFolder(folder)).toThrow(new RegExp(`${folder} is in use by process ${child.pid} on .+ since 20..-`))
})

test('nor can the same process take it twice, until it lets go; letting go twice does no harm', () => {
  const release = holdFolder(folder)
  expect(() => holdFolder(folder)).toThrow(FolderInUse)
  release()
  release()
  holdFolder(folder)()
})

test('the lock of a killed process is free at once', async () => {
  const { child } = await holder()
  await kill(child)
  holdFolder(folder)()
})

test('of many that find a killed process, exactly one takes over', async () => {
  for (let round = 0; round < 2; round++) {
    const { child } = await holder()
    await kill(child)
    const words = (await Promise.all([1, 2, 3, 4].map(holder))).map(({ word }) => word)
    expect(words.sort()).toEqual(['held', 'refused', 'refused', 'refused'])
    await Promise.all(children.map(kill))
  }
})

test('a lock that cannot be opened is an error of its own', () => {
  mkdirSync(join(folder, 'in-use.lock'))
  expect(() => holdFolder(folder)).toThrow('unable to open database file')
})
