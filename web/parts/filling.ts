import { counted } from './numbers.ts'
/** How many copies of a print fill one printer's plate how far. */
export interface PlateRoom {
  printerId: string
  printer: string
  /** So many leave it half empty at most; 0 where one takes more. */
  halfEmpty: number
  aboutFull: number
  /** More do not fit. */
  most: number
}

/** A print that is alone on its plate. */
export interface Filling {
  /** What a copy is counted with: "a base of 32 mm round". */
  by: string
  /** Each of the printers to choose from. */
  on: PlateRoom[]
}

/** "8 copies on the plate of Gannet: half empty, by …": what would be worked out. */
export function fillingWords({ by, on }: Filling, copies: number, printerId: string): string {
  const room = on.find((one) => one.printerId === printerId)
  if (!room || !Number.isInteger(copies) || copies < 1) return `How full the plate was is worked out by ${by}.`
  const some = counted(copies, 'copy', 'copies')
  if (copies > room.most) return `By ${by}, ${some} can’t stand on the plate of ${room.printer}: say how full it was.`
  return `${some} on the plate of ${room.printer}: ${crowdingIn(room, copies)}, by ${by}.`
}

function crowdingIn({ halfEmpty, aboutFull }: PlateRoom, copies: number): string {
  if (copies <= halfEmpty) return 'half empty'
  return copies <= aboutFull ? 'about full' : 'packed'
}
