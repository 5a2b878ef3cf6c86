import { sha256 } from '@noble/hashes/sha2.js'
import { bytesToHex } from '@noble/hashes/utils.js'

/** SHA-256 of a file, as hex digits. Browsers do it themselves only on pages that came by TLS or from the same machine. */
export async function sha256Of(bytes: ArrayBuffer): Promise<string> {
  // Not there on a page that came by plain HTTP, whatever its type says.
  const subtle: SubtleCrypto | undefined = globalThis.crypto?.subtle
  return bytesToHex(subtle ? new Uint8Array(await subtle.digest('SHA-256', bytes)) : sha256(new Uint8Array(bytes)))
}
