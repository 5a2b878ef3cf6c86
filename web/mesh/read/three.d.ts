// The two loaders that are used of three, and only as far as they are: its own types bring 30 MB of others along.

interface Geometry {
  getAttribute(name: 'position'): { array: Float32Array } | undefined
}

declare module 'three/addons/loaders/STLLoader.js' {
  export class STLLoader {
    /** @param data a whole file */
    parse(data: ArrayBuffer): Geometry
  }
}

declare module 'three/addons/loaders/OBJLoader.js' {
  export class OBJLoader {
    /** @param text a whole file */
    parse(text: string): { children: { isMesh?: true; geometry: Geometry }[] }
  }
}
