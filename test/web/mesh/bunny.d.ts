declare module 'bunny' {
  export const positions: number[][]
  export const cells: number[][]
}
