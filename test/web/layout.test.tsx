import { expect, test } from 'vitest'
import { documentOf, type Frame, Layout } from '../../web/layout.tsx'
import { irishReader } from './render.tsx'

const frame: Frame = {
  me: { id: 'm1', name: 'Ilse', role: 'member' },
  groupName: 'The Thursday Table',
  assets: {
    css: '/assets/style-ABC.css',
    style: 'p{color:#000}',
    js: '/assets/app-ABC.js',
    mesh: '/assets/mesh-ABC.js',
    fonts: ['/assets/a.woff2'],
    icon: '/assets/icon-180-ABC.png',
    app: '/assets/understudy-ABC.webmanifest',
  },
  isFirst: false,
  reader: irishReader,
  path: '/requests/7',
}

test('a whole document with its language, title and bundles', () => {
  const page = documentOf(
    <Layout {...frame} title="Marsh wardens">
      <p>Ten wanted</p>
    </Layout>,
  )
  expect(page).toMatch(/^<!doctype html><html lang="en" data-member="m1">/)
  expect(page).toContain('<title>Marsh wardens · The Thursday Table</title>')
  expect(page).toContain('<h1>Marsh wardens</h1>')
  expect(page).toContain('<link rel="stylesheet" href="/assets/style-ABC.css"')
  expect(page).toContain('<script type="module" src="/assets/app-ABC.js">')
  expect(page).toContain('href="#main"')
})

test('nothing that a strict Content-Security-Policy forbids', () => {
  const page = documentOf(
    <Layout {...frame} title="x">
      <p>y</p>
    </Layout>,
  )
  expect(page).not.toMatch(/ style=|<style| on[a-z]+=/)
  expect(page.match(/<script/g)).toHaveLength(1)
})

test('marks where one is; what lies under the root is a request', () => {
  const page = (path: string) =>
    documentOf(
      <Layout {...frame} path={path} title="x">
        <p>y</p>
      </Layout>,
    )
  expect(page('/requests/7')).toContain('<a href="/" aria-current="true">Requests</a>')
  expect(page('/units')).toContain('<a href="/units" aria-current="page">Units</a>')
  expect(page('/units')).not.toContain('<a href="/" aria-current')
  expect(page('/unitsandmore')).not.toContain('aria-current')
})

test('everybody finds the settings; signed out there is only the way in', () => {
  const page = (me: Frame['me']) =>
    documentOf(
      <Layout {...frame} me={me} title="x">
        <p>y</p>
      </Layout>,
    )
  expect(page(frame.me)).toContain('<a href="/settings">Settings</a>')
  expect(page(frame.me)).toContain('<form class="sign-out" method="post" action="/sign-out">')
  expect(page(null)).toContain('href="/sign-in"')
  expect(page(null)).not.toContain('/archive')
})

test('names of group and member stay text', () => {
  const page = documentOf(
    <Layout {...frame} groupName="</title><script>" me={{ id: 'm', name: '<script>', role: 'member' }} title="<script>">
      <p>y</p>
    </Layout>,
  )
  expect(page.match(/<script/g)).toHaveLength(1)
})

test('what just happened is told once, and every page ends with the caution', () => {
  const page = documentOf(
    <Layout {...frame} notice="Your report is in." title="x">
      <p>y</p>
    </Layout>,
  )
  expect(page).toContain('<div class="notice" role="status">Your report is in.</div>')
  expect(page).toContain('safety data sheet')
})
