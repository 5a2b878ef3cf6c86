import type { Manifest } from '../../web/assets.ts'

/** A build's list of bundles for a service whose pages nobody looks at. */
export const noBundles: Manifest = {
  css: 'style.css',
  js: 'app.js',
  mesh: 'mesh.js',
  fonts: [],
  icon: 'icon.png',
  app: 'app.webmanifest',
}
