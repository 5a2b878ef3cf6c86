import { execFile } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { readFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { sql } from 'kysely'
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest'
import { parse } from 'yaml'
import { type OpenDatabase, openDatabase } from '../../db/connect.ts'
import { migrate } from '../../db/migrate.ts'
import { readConfig } from '../../server/config.ts'
import { startJobs } from '../../server/jobs/index.ts'
import { findBinaries, once } from '../support/postgres.ts'

interface Service {
  environment: Record<string, string>
  networks: string[]
  entrypoint?: string[]
  command?: string[]
  ports?: string[]
  [setting: string]: unknown
}

const text = await readFile(join(import.meta.dirname, '../../docker-compose.yml'), 'utf8')
const { services, networks } = parse(text, { merge: true }) as {
  services: Record<string, Service>
  networks: Record<string, { internal?: boolean } | null>
}

const becomesItsUser = ['CHOWN', 'DAC_OVERRIDE', 'FOWNER', 'SETGID', 'SETUID']

describe.each(Object.entries(services))('the container of %s', (name, service) => {
  test('has no root file system to write to, no privileges, and a bounded share of the machine', () => {
    expect(service).toMatchObject({ read_only: true, cap_drop: ['ALL'], security_opt: ['no-new-privileges:true'] })
    expect(service.mem_limit).toMatch(/^(\$\{\w+:-)?\d+[mg]\}?$/)
    expect(service.pids_limit).toEqual(expect.any(Number))
    // The database has to become another user than root, the proxy to listen at 443; no other gets back what it was denied.
    const given: Record<string, string[]> = { proxy: ['NET_BIND_SERVICE'], database: becomesItsUser }
    expect(service.cap_add).toEqual(given[name])
    expect(service.privileged).toBeUndefined()
  })

  test('is reached by those alone who need it', () => {
    expect(service.ports !== undefined).toBe(['app', 'proxy'].includes(name))
    const others: Record<string, string[]> = { app: ['outside', 'database'], proxy: ['outside'] }
    expect(service.networks).toEqual(others[name] ?? ['database'])
    expect(networks.database?.internal).toBe(true)
  })
})

/** A text of the file with what is in `.env`, or else what is usual. */
const filled = (text: string, given: Record<string, string>) =>
  text.replace(/\$\{(\w+)(?::-([^}]*))?[^}]*\}/g, (_, name, usual = 'secret') => given[name] ?? usual)

const settings = (given: Record<string, string> = {}) =>
  readConfig(
    Object.fromEntries(
      Object.entries(services.app?.environment ?? {}).map(([name, value]) => [name, filled(value, given)]),
    ),
  )

test('the settings of the service are such that it starts, with an address of its own', () => {
  expect(settings()).toMatchObject({ publicUrl: 'http://127.0.0.1:8648', opening: 'HOST is 0.0.0.0', demo: false })
})

test('its proxy speaks TLS for the address at which the group reaches the service, and hands on to it alone', () => {
  const env = { PUBLIC_URL: 'https://understudy.example', TRUST_PROXY: 'on' }
  expect(settings(env)).toMatchObject({ publicUrl: env.PUBLIC_URL, trustProxy: true })
  const command = services.proxy?.command?.map((word) => filled(word, env))
  expect(command?.join(' ')).toBe('caddy reverse-proxy --from https://understudy.example --to app:8648')
  expect(services.proxy).toMatchObject({ profiles: ['tls'], ports: ['80:80', '443:443'] })
  // Past the proxy the service is reached from the machine itself.
  expect(filled(services.app?.ports?.[0] ?? '', env)).toBe('127.0.0.1:8648:8648')
})

const template = inject('template')
const binaries = await findBinaries()
/** Roles are the server's, not a database's, so this is for the throw-away server. */
const isOwnServer = template.kind === 'postgresql' && template.server.includes('?host=')

describe.runIf(isOwnServer)('the user that it makes for the service', () => {
  const server = template.kind === 'postgresql' ? template.server : ''
  const url = server.replace('//postgres@', '//understudy@').replace('/postgres?', '/understudy?')
  const folder = mkdtempSync(join(tmpdir(), 'understudy-compose-'))
  let database: OpenDatabase

  /** What is done in a container, with the programs of this machine. */
  const bash = (script: string) => {
    const socket = new URL(server).searchParams.get('host') ?? ''
    const path = `${binaries}:${process.env.PATH}`
    const env = { ...process.env, ...services.owner?.environment, PGHOST: socket, PGPASSWORD: "it's", PATH: path }
    return promisify(execFile)('bash', ['-euo', 'pipefail', '-c', script], { env })
  }
  const make = () => bash(services.owner?.entrypoint?.at(-1)?.replaceAll('$$', '$') ?? '')

  beforeAll(async () => {
    await make()
    database = await openDatabase({ url })
  })
  afterAll(async () => {
    await database.close()
    rmSync(folder, { recursive: true })
    await once(server, 'drop database understudy')
    await once(server, 'drop role understudy')
    for (const name of ['postgres', 'template1']) await once(server, `grant connect on database ${name} to public`)
  })

  test('is made once, however often it is asked for', async () => {
    await make()
    await make()
  })

  test('owns its database, and may do nothing else', async () => {
    const { rows } = await sql`select rolsuper, rolcreatedb, rolcreaterole, rolreplication, rolbypassrls,
      (select count(*)::int from pg_database where datdba = pg_roles.oid) as owns
      from pg_roles where rolname = current_user`.execute(database.db)
    const nothing = { rolsuper: false, rolcreatedb: false, rolcreaterole: false, rolreplication: false }
    expect(rows).toEqual([{ ...nothing, rolbypassrls: false, owns: 1 }])
    for (const other of ['postgres', 'template1'])
      await expect(once(url.replace('/understudy?', `/${other}?`), 'select 1')).rejects.toThrow('permission denied')
    for (const forbidden of ["select pg_read_file('PG_VERSION')", "copy (select 1) to program 'true'"])
      await expect(sql.raw(forbidden).execute(database.db)).rejects.toThrow(/permission denied|must be superuser/)
  })

  test('is all that the service, its jobs, and putting a dump back need', async () => {
    await migrate(database.db)
    await database.ready()
    const jobs = await startJobs({ database, log: { info() {}, error() {} } })
    await jobs.stop()
    const kept = join(folder, 'understudy.dump')
    await bash(`pg_dump --format=custom --file=${kept}`)
    await sql`create table made_later (n int)`.execute(database.db)
    const [, putBack = ''] = /exec dumps bash -c '([^']+)'/.exec(text) ?? []
    await bash(putBack.replace('/dumps/NAME', kept))
    await expect(sql`select from made_later`.execute(database.db)).rejects.toThrow('does not exist')
    expect(await migrate(database.db)).toEqual([])
  })
})
