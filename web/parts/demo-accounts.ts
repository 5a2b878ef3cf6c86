/** Those of the demo group that can be tried, by what they are in it. */
export const demoAccounts = [
  { role: 'a member', email: 'asker@demo.example' },
  { role: 'a steward', email: 'steward@demo.example' },
  { role: 'the owner', email: 'owner@demo.example' },
]

/** Everybody's in the demo, and no secret. */
export const demoPassword = 'print it again'
