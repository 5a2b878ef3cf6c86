/** Input that the command refuses: one line for the person who made the file. */
export class Malformed extends Error {}
