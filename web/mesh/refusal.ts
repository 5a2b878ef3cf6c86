/** Says in one sentence for whoever dropped the files why they can't be measured. */
export class Refusal extends Error {
  override readonly name = 'Refusal'
}
