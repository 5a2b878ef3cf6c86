/** A kind of groups that is simulated. */
export type WorldOptions = {
  /** plates that are reported, and by how many members */
  reports: number
  members: number
  /** share of what is seen that is noted without looking, by what a member likes to note */
  blind: number
  /** share of the failed copies of which nothing is noted */
  unknown: number
  /** chance that a plate of which all is good is reported at all; one with failures always is */
  goodReported: number
  /** share of the printers that stand in a room that is cold in winter */
  coldRooms: number
  /** share of the plates to which something happens that takes most of it */
  mishaps: number
  /** plates that a film lasts in the middle, before it fades over ten to twenty more */
  filmLife: number
  /** files that there are; as many as the reports let expect when left out */
  lines?: number
  /** films are changed so many plates after they began to fade, and never before; when left out as members will */
  changedAfter?: number
}

export const usual: Omit<WorldOptions, 'reports' | 'members'> = {
  blind: 0.15,
  unknown: 0.25,
  goodReported: 0.5,
  coldRooms: 1 / 3,
  mishaps: 0.03,
  filmLife: 40,
}

/** Sizes of groups, and how many members report so much. */
export const sizes = [
  { reports: 10, members: 3 },
  { reports: 30, members: 4 },
  { reports: 100, members: 6 },
  { reports: 300, members: 9 },
  { reports: 1000, members: 12 },
] as const
