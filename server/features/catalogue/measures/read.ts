import { parseJson } from '../../../http/body.ts'
import { fieldErrors, invalid, Problem } from '../../../http/problem.ts'
import { type NewMeasure, newMeasure } from './schema.ts'

const unreadable = 'These numbers can’t be read. Measure the file again.'

/** The measure in a form's text. @throws Problem 422 when there is none, or it can't be true */
export function measuredIn(text: string): NewMeasure {
  const parsed = newMeasure.safeParse(jsonIn(text))
  if (parsed.success) return parsed.data
  const errors = fieldErrors(parsed.error)
  throw new Problem(422, errors[0]?.message ?? unreadable, { errors })
}

function jsonIn(text: string): unknown {
  try {
    return parseJson(text)
  } catch {
    throw invalid('/measured', unreadable)
  }
}
