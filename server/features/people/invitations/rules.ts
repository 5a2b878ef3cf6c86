/**
 * How often a place may look at links that let people in, and use them, within a quarter of an hour: a whole club behind
 * one address. The codes are beyond guessing; this only bounds the work.
 */
export const joinTries = { tries: 120, windowS: 900 }
