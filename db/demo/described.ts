import { z } from 'zod'

/**
 * Things of the demo by their keys, as a file of data describes them. Data that has what its schema does not know, or
 * names what is not there, is refused at once.
 *
 * @param data an imported file, by which the compiler knows the keys
 * @throws z.ZodError
 */
export const described = <Key extends string, Shape>(shape: z.ZodType<Shape>, data: Readonly<Record<Key, unknown>>) =>
  z.record(z.string(), shape).parse(data) as Record<Key, Shape>

export const keysOf = <Key extends string>(things: Readonly<Record<Key, unknown>>) => Object.keys(things) as Key[]

/** One of these, by its key. */
export const keyIn = <Key extends string>(things: Readonly<Record<Key, unknown>>) => z.enum(keysOf(things))

/** May be left out. */
export const maybe = <Shape extends z.ZodType>(shape: Shape) => shape.exactOptional()

/** What the thing is in the demo for; nothing shows it. */
export const story = maybe(z.string())
