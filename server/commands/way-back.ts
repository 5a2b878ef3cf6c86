import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { openDatabase } from '../../db/connect.ts'
import { isOlderOrNone } from '../../db/failures.ts'
import { FolderInUse } from '../../db/folder-lock.ts'
import { blaming, type Config, ConfigError, readConfig } from '../config.ts'
import { newCode } from '../features/people/invitations/queries.ts'
import { makeOwnersWayBack } from '../features/people/way-back/queries.ts'

/*
 * For the owner who forgot the password, whom nobody in the group can help: whoever may run this at the server could
 * read and write the database as well. It takes the settings of the service from the same environment.
 */

const usage = 'Say the owner’s e-mail address: npm run -s way-back -- owner@group.example'

/** Something that whoever runs this can mend. */
class Mendable extends Error {}

async function main(): Promise<string> {
  const [email, ...others] = process.argv.slice(2)
  if (!email || others.length > 0) throw new Mendable(usage)
  const config = readConfig(process.env)
  const { databaseUrl: url, dataDir } = config
  // Opening would make an empty one.
  if (!url && !existsSync(join(dataDir, 'database')))
    throw new Mendable(`There is no database in ${dataDir}. Set DATA_DIR or DATABASE_URL as the service has them.`)
  const blamed = blaming(url ? 'DATABASE_URL' : 'DATA_DIR')
  const database = await openDatabase({ url, dataDir }).catch(blamed)
  try {
    const code = newCode()
    const made = await makeOwnersWayBack(database.db, email, code, new Date()).catch(blamed)
    if (made) return handedOut(made, `${addressOf(config)}/way-back/${code}`)
    throw new Mendable(
      `${email} is not the owner’s address. Who is not the owner is helped by a steward, on their page.`,
    )
  } finally {
    await database.close()
  }
}

const handedOut = ({ name, expiresAt }: { name: string; expiresAt: Date }, link: string) => `A way back in for ${name}:

  ${link}

It asks for a new password, works once, and ends at ${expiresAt.toISOString()} (in an hour). Whoever has the link becomes
the owner: show it to nobody.`

const addressOf = ({ publicUrl, host, port }: Config) =>
  publicUrl ?? `http://${host.includes(':') ? `[${host}]` : host}:${port}`

function reasonOf(error: unknown): string | undefined {
  if (error instanceof FolderInUse)
    return `${error.message}\nThe embedded database is open to one process at a time: stop the service, run this again, start the service, then open the link.`
  if (isOlderOrNone(error))
    return 'No service of this version has run on this database yet. Start it once, then run this.'
  return error instanceof Mendable || error instanceof ConfigError ? error.message : undefined
}

main().then(console.log, (error: unknown) => {
  console.error(reasonOf(error) ?? error)
  process.exitCode = 1
})
