import { type ChildProcess, execFile, execFileSync, spawn } from 'node:child_process'
import { access, chown, mkdir, readdir } from 'node:fs/promises'
import { delimiter, join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { promisify } from 'node:util'
import { Client } from 'pg'

/** A PostgreSQL server in which the tests may make and drop databases. */
export interface TestServer {
  /** Says what it is, for the line at the start of a run. */
  name: string
  /** Address of a database that is only used to make and drop others. */
  url: string
  stop(): Promise<void>
}

/** Folder of `initdb` and `postgres`: Debian keeps them outside PATH, one folder a version. */
export async function findBinaries(): Promise<string | undefined> {
  const debian = '/usr/lib/postgresql'
  const versions = await readdir(debian).catch(() => [])
  const newestFirst = versions.sort((a, b) => Number(b) - Number(a)).map((version) => join(debian, version, 'bin'))
  for (const folder of [...newestFirst, ...(process.env.PATH ?? '').split(delimiter)]) {
    const both = ['initdb', 'postgres'].map((program) => access(join(folder, program)))
    if ((await Promise.allSettled(both)).every((result) => result.status === 'fulfilled')) return folder
  }
  return undefined
}

/**
 * A throw-away server of our own. It listens on a socket file in `folder` alone, so there is no port to collide on;
 * nothing in it is worth a wait for the disk.
 */
export async function startLocal(binaries: string, folder: string): Promise<TestServer> {
  const data = join(folder, 'server')
  await mkdir(data, { recursive: true })
  const user = serverUser()
  if (user) {
    await chown(folder, user.uid, user.gid)
    await chown(data, user.uid, user.gid)
  }
  await initialise(binaries, data, user)
  const server = launch(binaries, data, folder, user)
  const url = `postgresql://postgres@localhost/postgres?host=${encodeURIComponent(folder)}`
  await untilReady(url, server)
  const { version } = await once(url, "select current_setting('server_version') as version")
  return {
    name: `PostgreSQL ${version}, a throw-away server from ${binaries}`,
    url,
    async stop() {
      const ended = new Promise((resolve) => server.once('exit', resolve))
      server.stdin?.end()
      await ended
    },
  }
}

/** Needs a container engine; where there is none, `start` says so at once. */
export async function startContainer(): Promise<TestServer> {
  // Only here: every test file loads this module, and the library takes its time
  const { PostgreSqlContainer } = await import('@testcontainers/postgresql')
  const container = await new PostgreSqlContainer('postgres:17').start()
  return {
    name: 'PostgreSQL in a container',
    url: container.getConnectionUri(),
    async stop() {
      await container.stop()
    },
  }
}

/** Runs one statement on a connection of its own. @returns the first row */
export async function once(url: string, statement: string): Promise<Record<string, unknown>> {
  const client = new Client({ connectionString: url })
  await client.connect()
  try {
    const { rows } = await client.query(statement)
    return rows[0] ?? {}
  } finally {
    await client.end()
  }
}

interface User {
  uid: number
  gid: number
}

/** PostgreSQL refuses to run as root, so root lends it another user. */
function serverUser(): User | undefined {
  if (process.getuid?.() !== 0) return undefined
  const id = (flag: string, name: string) =>
    Number(execFileSync('id', [flag, name], { stdio: ['ignore', 'pipe', 'ignore'] }))
  for (const name of ['postgres', 'nobody']) {
    try {
      return { uid: id('-u', name), gid: id('-g', name) }
    } catch {
      // no such user
    }
  }
  throw new Error('PostgreSQL will not run as root, and there is neither a user postgres nor nobody')
}

async function initialise(binaries: string, data: string, user: User | undefined): Promise<void> {
  const run = (locale: string) =>
    promisify(execFile)(
      join(binaries, 'initdb'),
      ['-D', data, '-U', 'postgres', '-A', 'trust', '-E', 'UTF8', '--locale', locale, '--no-sync', '--no-instructions'],
      { ...user, cwd: data },
    )
  // C.UTF-8 knows upper and lower case beyond ASCII; not every system has it
  await run('C.UTF-8').catch(() => run('C'))
}

/** The shell ends and removes the server when our end of the pipe closes, thus also when the test run is killed. */
function launch(binaries: string, data: string, socketFolder: string, user: User | undefined): ChildProcess {
  // Nobody has told the planner how large the tables are: it would compile queries that take less time than that.
  const settings = ['fsync=off', 'full_page_writes=off', 'synchronous_commit=off', 'listen_addresses=', 'jit=off']
  settings.push(
    `unix_socket_directories=${socketFolder}`,
    'max_connections=100',
    'autovacuum=off',
    'max_wal_size=128MB',
  )
  const script = `"$@" </dev/null >"$LOG" 2>&1 & server=$!
    trap '' INT
    cat >/dev/null
    kill -QUIT $server 2>/dev/null; wait $server
    cd / && rm -rf "$DATA"`
  const command = [join(binaries, 'postgres'), '-D', data, ...settings.flatMap((setting) => ['-c', setting])]
  return spawn('sh', ['-c', script, 'sh', ...command], {
    ...user,
    cwd: data,
    env: { ...process.env, DATA: data, LOG: join(data, 'log') },
    stdio: ['pipe', 'ignore', 'inherit'],
  })
}

async function untilReady(url: string, server: ChildProcess): Promise<void> {
  for (;;) {
    const failure = await once(url, 'select 1').then(
      () => undefined,
      (error: unknown) => error,
    )
    if (failure === undefined) return
    if (server.exitCode !== null) throw failure
    await sleep(50)
  }
}
