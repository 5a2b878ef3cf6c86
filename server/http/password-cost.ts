/**
 * What an argon2id hash of a password costs: OWASP's first choice (Password Storage Cheat Sheet, from memory) of 19 MiB,
 * 2 passes and 1 lane. No setting changes it; only tests do (test/support/app.ts), which hash thousands of passwords.
 */
export const passwordCost = { memoryCost: 19_456, timeCost: 2, parallelism: 1 }
