/** "your Slate Grey", and by whose price where that is not its own. */
export const resinWords = ({ name, withoutRate }: { name: string; withoutRate: string | null }) =>
  withoutRate === null
    ? `your ${name}`
    : `your ${name}, at the group's price: the group keeps no rate for ${withoutRate}`
