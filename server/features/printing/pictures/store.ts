/** What is kept of a picture: one file for each of its sizes, called `<hash>-<longest side>`. */
export interface PictureStore {
  /** Keeps it, whole or not at all. One that is there already has the same content. */
  put(name: string, bytes: Uint8Array): Promise<void>
  /** @returns undefined where there is none */
  get(name: string): Promise<Uint8Array | undefined>
  /** Removes it, if it is there. */
  remove(name: string): Promise<void>
  /** Whether its disk has room and lets us write. A bucket tells by itself. @throws what `put` would */
  ready?(): Promise<void>
  /** All that is kept, and since when. */
  list(): AsyncIterable<{ name: string; since: Date }>
}

/** What a file in the store is called. */
export const storedName = /^([0-9a-f]{64})-(480|1600)$/
