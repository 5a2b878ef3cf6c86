import fastify from 'fastify'
import { sql } from 'kysely'
import type { Db } from '../../db/connect.ts'
import { features } from '../../server/features/index.ts'
import type { App } from '../../server/http/route.ts'
import { today } from './serve.ts'

/** Every address that the pages' routes answer to a GET, as the features declare them: a new one is here by itself. */
export async function getRoutes(): Promise<string[]> {
  const app = fastify()
  app.decorate('now', () => new Date(`${today}T18:00:00Z`))
  app.decorate('asksSetupCode', false)
  const found: string[] = []
  app.addHook('onRoute', ({ method, url }) => {
    if ([method].flat().includes('GET')) found.push(url)
  })
  // Only asked what there is; it never listens, and nothing of the App's other parts is touched by declaring a route.
  for (const feature of features) feature.pages?.(app as unknown as App)
  await app.close()
  return found
}

/** What scripts and watchers fetch, which nobody looks at. */
export const noPages = [
  '/health/live',
  '/health/ready',
  '/units/suggest',
  '/files/suggest',
  '/sculptors/suggest',
  '/units.csv',
  '/files.csv',
  '/requests.csv',
  '/reports.csv',
  '/pictures/:id',
  '/pictures/:id/edit',
  '/pictures/:id/base',
]

/** Addresses in the demo group for each page's route, for whatever the page shows differently. */
export async function samples(
  db: Db,
  codes: { invitation: string; wayBack: string },
): Promise<Record<string, string[]>> {
  const id = async (query: string) => {
    const { rows } = await sql.raw<{ id: string }>(query).execute(db)
    if (!rows[0]) throw new Error(`the demo has none: ${query}`)
    return rows[0].id
  }
  const request = (unit: string) =>
    id(`select r.id from request r join unit u on u.id = r.unit_id where u.name = '${unit}' order by r.id desc`)
  const file = (title: string) => id(`select id from file where title = '${title}'`)
  const printer = (name: string) => id(`select id from printer where name = '${name}'`)
  const report = (where: string) =>
    id(
      `select x.id from print x join plate r on r.id = x.plate_id join printer p on p.id = r.printer_id where ${where}`,
    )
  const wardens = await id(`select id from unit where name = 'Fen Wardens'`)
  const sentries = await file('Reed Sentries')
  const unnamed = await id(`select f.id from file f join sculptor s on s.id = f.sculptor_id where credit = 'unnamed'`)
  const gone = await id(`select file_id id from offer_file group by file_id having not exists
    (select from offer_file o join offer on offer.id = o.offer_id where o.file_id = offer_file.file_id and state <> 'withdrawn')`)
  const signes = await id(`select id from member where name = 'Signe'`)
  const compared = db.selectFrom('fileUnit').select('fileId').where('unitId', '=', wardens).limit(4)
  const compare = (await compared.execute()).map(({ fileId }) => `compare=${fileId}`).join('&')
  const offer = (kind: string) => id(`select id from offer where kind = '${kind}' order by id`)
  const clean = await report(`p.name = 'Blue Lid' and good = tried`)
  const failed = await report(`p.name = 'Gannet' and good < tried`)
  const several = await id(`select r.id from plate r join printer p on p.id = r.printer_id where p.name = 'Blue Lid'
    and (select count(*) from print x where x.plate_id = r.id) > 1 order by 1`)
  const wet = await id('select id from plate where not told')
  const revision = await id(`select v.id from revision v where
    (select count(*) from support_set s where s.revision_id = v.id) < 3 order by 1`)
  const supported = await db.selectFrom('supportSet').select(['id', 'revisionId']).executeTakeFirstOrThrow()
  const roster = await id(`select id from roster where owner_id = '${signes}'`)
  const entry = await id(`select id from roster_entry where roster_id = '${roster}' order by place`)
  return {
    '/': ['/', '/?state=settled', '/?said=reported'],
    '/search': ['/search', '/search?q=wardens', '/search?q=zzqx'],
    '/setup': ['/setup'],
    '/sign-in': ['/sign-in?next=/units'],
    '/invitations/:code': [`/invitations/${codes.invitation}`, '/invitations/no-such-code'],
    '/way-back/:code': [`/way-back/${codes.wayBack}`],
    '/members': ['/members'],
    '/members/:id': [`/members/${signes}`, `/members/${await id(`select id from member where name = 'Ottoline'`)}`],
    '/me': ['/me'],
    '/settings': ['/settings'],
    '/units': ['/units', '/units?q=fen+wadens', '/units?q=zzqx'],
    '/units/:id': [
      `/units/${wardens}`,
      `/units/${wardens}?${compare}`,
      `/units/${wardens}?maxPrice=0&minSuccess=99`,
      `/units/${await id(`select id from unit where name = 'Heliograph Crew'`)}`,
    ],
    '/units/new': ['/units/new'],
    '/units/:id/edit': [`/units/${wardens}/edit`],
    '/units/:id/merge': [`/units/${wardens}/merge`, `/units/${wardens}/merge?q=zzqx`],
    '/files': ['/files', `/files?sculptorId=${await id(`select id from sculptor where credit = 'named' order by 1`)}`],
    '/files/:id': [sentries, unnamed, gone].map((one) => `/files/${one}`),
    '/files/new': ['/files/new', `/files/new?unitId=${wardens}`],
    '/files/:id/edit': [`/files/${sentries}/edit`],
    '/files/:id/merge': [`/files/${sentries}/merge`],
    '/files/:id/revisions/new': [`/files/${sentries}/revisions/new`],
    '/files/:id/offers/new': [`/files/${sentries}/offers/new`],
    '/files/:id/snags/new': [`/files/${sentries}/snags/new`],
    '/revisions/:id/edit': [`/revisions/${revision}/edit`],
    '/revisions/:id/support-sets/new': [`/revisions/${revision}/support-sets/new`],
    '/revisions/:id/measure': [
      `/revisions/${revision}/measure`,
      `/revisions/${supported.revisionId}/measure?supports=${supported.id}`,
    ],
    '/offers/:id': [`/offers/${await offer('membership')}`, `/offers/${await offer('purchase')}`],
    '/offers/:id/edit': [`/offers/${await offer('bundle')}/edit`, `/offers/${await offer('purchase')}/edit`],
    '/snags/:id/edit': [`/snags/${await id('select id from snag order by 1')}/edit`],
    '/sculptors': ['/sculptors'],
    '/sculptors/:id/edit': [`/sculptors/${await id('select id from sculptor order by 1')}/edit`],
    '/sculptors/:id/merge': [`/sculptors/${await id('select id from sculptor order by 1')}/merge`],
    '/requests': ['/requests'],
    '/account': ['/account'],
    '/requests/new': ['/requests/new', `/requests/new?unitId=${wardens}`],
    '/requests/:id': await Promise.all(
      ['Fen Wardens', 'The Unfired', 'Eel-Spear Levy', 'Lantern Drovers'].map(
        async (unit) => `/requests/${await request(unit)}`,
      ),
    ),
    '/requests/:id/edit': [`/requests/${await request('Fen Wardens')}/edit`],
    '/requests/:id/propose': [
      `/requests/${await request('Fen Wardens')}/propose`,
      `/requests/${await request('The Unfired')}/propose?q=zzqx`,
    ],
    '/requests/:id/propose/new': [`/requests/${await request('Fen Wardens')}/propose/new?title=Reeds`],
    '/archive': ['/archive', '/archive?q=wardens'],
    '/printers': ['/printers'],
    '/printers/new': ['/printers/new', '/printers/new?size=middle'],
    '/printers/:id': [`/printers/${await printer('Gannet')}`, `/printers/${await printer('Blue Lid')}`],
    '/printers/:id/edit': [`/printers/${await printer('Blue Lid')}/edit`],
    '/resins': ['/resins'],
    '/resins/new': ['/resins/new'],
    '/resins/:id/edit': [
      `/resins/${await id(`select r.id from resin r join member m on m.id = r.owner_id where role = 'owner'`)}/edit`,
    ],
    '/files/:id/pictures/new': [`/files/${sentries}/pictures/new`],
    '/reports/new': [
      '/reports/new',
      '/reports/new?q=wardens',
      '/reports/new?q=zzqx',
      `/reports/new?fileId=${sentries}`,
    ],
    '/reports/:id': [`/reports/${clean}`, `/reports/${failed}`],
    '/plates/:id': [`/plates/${several}`, `/plates/${wet}`],
    '/plates/:id/edit': [`/plates/${several}/edit`],
    '/rosters': ['/rosters'],
    '/rosters/new': ['/rosters/new'],
    '/rosters/:id': [`/rosters/${roster}`, `/rosters/${await id(`select id from roster where id <> '${roster}'`)}`],
    '/rosters/:id/edit': [`/rosters/${roster}/edit`],
    '/rosters/:id/plan': [`/rosters/${roster}/plan`],
    '/rosters/:id/plan/entries': [`/rosters/${roster}/plan/entries`],
    '/rosters/:id/entries/new': [`/rosters/${roster}/entries/new`],
    '/rosters/:id/entries/:entryId/edit': [`/rosters/${roster}/entries/${entry}/edit`],
    '/help': ['/help'],
    '/api': ['/api'],
  }
}
