/** Types of what is used of the package: its own lead nowhere, and its main file is none that Node.js can import. */
declare module 'maxrects-packer/dist/maxrects-packer.mjs' {
  export class MaxRectsBin {
    constructor(
      width: number,
      height: number,
      padding: number,
      options: { smart: boolean; pot: boolean; allowRotation: boolean },
    )
    /** @returns undefined where it does not fit any more */
    add(width: number, height: number, data: null): { x: number; y: number; width: number; height: number } | undefined
  }
}
