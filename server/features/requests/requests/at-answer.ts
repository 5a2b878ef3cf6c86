/** Where a request's page stands open at one of its answers, which then says what has just happened to it. */
export const atAnswer = (requestId: string, proposalId: string) =>
  `/requests/${requestId}?answer=${proposalId}#answer-${proposalId}`
