/** Addresses of the bundles, hash in the name; the server reads them from the build's manifest. */
export interface Assets {
  css: string
  /** What stands in the style sheet, for a browser that does not have it yet. */
  style: string
  js: string
  /** Typefaces that every page sets its first lines in, to be asked for with the page. */
  fonts: string[]
  /** The worker that measures meshes; a page loads it when somebody drops a file. */
  mesh: string
  /** What a home screen shows. */
  icon: string
  /** Describes the service as an app, for a phone. */
  app: string
}

/** What `web/build.ts` writes as `manifest.json`: the hashed file name of each bundle. */
export type Manifest = Omit<Assets, 'style'>

/**
 * Turns the build's manifest into the addresses that the layout links.
 *
 * @param prefix where the folder is served, without a slash at its end
 * @param style what stands in the style sheet: its addresses are relative to the folder, a page's are not
 */
export function assetsAt(prefix: string, manifest: Manifest, style = ''): Assets {
  return {
    css: `${prefix}/${manifest.css}`,
    style: style.replaceAll('url("./', `url("${prefix}/`),
    js: `${prefix}/${manifest.js}`,
    fonts: manifest.fonts.map((font) => `${prefix}/${font}`),
    mesh: `${prefix}/${manifest.mesh}`,
    icon: `${prefix}/${manifest.icon}`,
    app: `${prefix}/${manifest.app}`,
  }
}
