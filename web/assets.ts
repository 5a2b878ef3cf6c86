/** Addresses of the bundled style sheet and script, hash in the name; the server reads them from the build's manifest. */
export interface Assets {
  css: string
  js: string
  /** Typefaces that every page sets its first lines in, to be asked for with the page. */
  fonts: string[]
}

/** What `web/build.ts` writes as `manifest.json`: the hashed file name of each bundle. */
export interface Manifest {
  css: string
  js: string
  fonts: string[]
}

/** Turns the build's manifest into the addresses that the layout links. @param prefix where the folder is served, without a slash at its end */
export function assetsAt(prefix: string, manifest: Manifest): Assets {
  return {
    css: `${prefix}/${manifest.css}`,
    js: `${prefix}/${manifest.js}`,
    fonts: manifest.fonts.map((font) => `${prefix}/${font}`),
  }
}
