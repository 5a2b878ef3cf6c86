/** Logits end here on either side, lest a chance be rounded to 0 or 1, from where no way leads back. */
export const farthest = 30

export const within = (logit: number) => Math.max(-farthest, Math.min(farthest, logit))

/** The chance that has this logit; its complement has the negative one. */
export const logistic = (logit: number) => 1 / (1 + Math.exp(-logit))
