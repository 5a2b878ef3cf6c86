import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import ts from 'typescript'
import { expect, test } from 'vitest'

const root = join(import.meta.dirname, '../..')
/** Steps that are released stay as they are. */
const files = ['server', 'web', 'db']
  .flatMap((folder) => readdirSync(join(root, folder), { recursive: true }).map((path) => `${folder}/${path}`))
  .filter((path) => /\.(ts|tsx|css)$/.test(path) && !path.startsWith('db/migrations/'))
const textOf = (path: string) => readFileSync(join(root, path), 'utf8')

const [mostLines, mostOfFunction] = [250, 60]

/** Loops that run a million times and more, in which a call costs. */
const longFunctions = ['castRays in web/mesh/rays.ts']

/** Functions of a file that take more lines than `most`, from the first to the last. */
function longOnes(path: string, text: string, most: number): string[] {
  const source = ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true)
  const found: string[] = []
  const look = (node: ts.Node): void => {
    if (ts.isFunctionLike(node) && 'body' in node && node.body) {
      const [first, last] = [node.getStart(), node.end].map((at) => source.getLineAndCharacterOfPosition(at).line)
      const { name } = node.name ? node : (node.parent as ts.VariableDeclaration)
      if ((last ?? 0) - (first ?? 0) >= most) found.push(`${name?.getText() ?? 'a function'} in ${path}`)
    }
    ts.forEachChild(node, look)
  }
  look(source)
  return found
}

test('no file is longer than one can read at once', () => {
  expect(files.filter((path) => textOf(path).split('\n').length - 1 > mostLines)).toEqual([])
})

test('no function either', () => {
  const long = files.filter((path) => !path.endsWith('.css')).flatMap((p) => longOnes(p, textOf(p), mostOfFunction))
  expect(long.filter((one) => !longFunctions.includes(one))).toEqual([])
})

test('a function is as long as its lines, whichever way it is written', () => {
  const text = 'export function one() {\n  return 1\n}\nconst two = () => {\n  three()\n\n  return 2\n}\n'
  expect(longOnes('a.ts', text, 2)).toEqual(['one in a.ts', 'two in a.ts'])
  expect(longOnes('a.ts', text, 3)).toEqual(['two in a.ts'])
  expect(longOnes('a.ts', text, 5)).toEqual([])
})
