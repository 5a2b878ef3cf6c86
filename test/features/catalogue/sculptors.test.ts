import { afterAll, describe, expect, test } from 'vitest'
import { startGroup } from '../../support/app.ts'
import { aFile } from '../../support/catalogue.ts'

const { odile, ada, ben, close } = await startGroup()
afterAll(close)

describe('sculptors', () => {
  test('are named to members and renamed by stewards alone', async () => {
    await aFile(ada, { sculptor: { name: 'Holm Brack' } })
    const sculptor = (await ben.get('/sculptors?q=holm')).json().items[0]
    const path = `/sculptors/${sculptor.id}`
    const any = { headers: { 'if-match': '*' } }
    expect((await ada.patch(path, { name: 'Holm Bracke' }, any)).statusCode).toBe(403)
    expect((await odile.patch(path, { name: 'Holm Bracke' })).statusCode).toBe(428)
    const headers = { 'if-match': String((await odile.get(path)).headers.etag) }
    expect((await odile.patch(path, { name: 'Holm Bracke' }, { headers })).json().name).toBe('Holm Bracke')
    expect((await odile.patch(path, { credit: 'unnamed' }, { headers })).statusCode).toBe(412)
    await aFile(ada, { sculptor: { name: 'Other Name' } })
    expect((await odile.patch(path, { name: 'OTHER name' }, any)).statusCode).toBe(409)
    expect((await odile.patch(`/sculptors/${ada.id}`, { name: 'X' }, any)).statusCode).toBe(404)
    expect((await odile.patch(path, { credit: 'secret' }, any)).statusCode).toBe(422)
  })

  test('are listed by name, every one once', async () => {
    const seen: string[] = []
    let url = '/sculptors?limit=3'
    while (url) {
      const answer = await ben.get(url)
      seen.push(...answer.json().items.map((one: { name: string }) => one.name))
      url = /^<\/api\/v1(.*)>; rel="next"$/.exec(String(answer.headers.link ?? ''))?.[1] ?? ''
    }
    expect(seen.length).toBe(new Set(seen).size)
    expect(seen.length).toBe((await ben.get('/sculptors?limit=100')).json().items.length)
  })

  test('lead to their files', async () => {
    for (let turn = 0; turn < 3; turn++) await aFile(ada, { sculptor: { name: 'Nina Many' } })
    const [, own = ''] =
      /href="(\/files\?sculptorId=[^"]*)">\s*Nina Many</.exec((await ben.page('/sculptors?q=nina')).body) ?? []
    const { body } = await ben.page(own)
    expect(body).toContain('<h1>Files by Nina Many</h1>')
    expect(body.match(/<a class="row-name" href="\/files\//g)).toHaveLength(3)
  })

  test('the wish not to be named counts at once; only a steward takes it back', async () => {
    await aFile(ada, { title: 'Kelp Riders', sculptor: { name: 'Gunda Fell' } })
    const before = (await ben.get('/sculptors?q=gunda%20fell')).json().items[0]
    const again = await ben.post('/files', {
      title: 'Kelp Chief',
      sculptor: { name: 'gunda fell', credit: 'unnamed' },
    })
    expect(again.json().sculptor).toEqual({ id: null, name: null, credit: 'unnamed' })
    expect((await ben.get(`/sculptors/${before.id}`)).statusCode).toBe(404)
    await ada.post('/files', { title: 'Kelp Steed', sculptor: { name: 'Gunda Fell', credit: 'named' } })
    expect((await ben.get('/sculptors?q=gunda%20fell')).json().items).toEqual([])
    await odile.post('/files', { title: 'Kelp Standard', sculptor: { name: 'Gunda Fell', credit: 'named' } })
    expect((await odile.get(`/sculptors/${before.id}`)).json().credit).toBe('unnamed')
    const any = { headers: { 'if-match': '*' } }
    await odile.patch(`/sculptors/${before.id}`, { credit: 'named' }, any)
    expect((await ben.get(`/sculptors/${before.id}`)).json()).toMatchObject({ credit: 'named', files: 4 })
  })
})
