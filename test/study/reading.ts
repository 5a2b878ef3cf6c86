/** How to read the tables; the command puts it above them. */
export const reading = `## How to read it`
