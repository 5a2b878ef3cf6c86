import { type Headgear, type Held, headgear, held } from './gear.ts'
import { ball, bar, type Point, type Solid, stack } from './solids.ts'

/** How somebody on foot stands, at 30 mm to the crown: which is what a 28 mm scale comes to. */
export interface Stance {
  head?: Headgear
  /** In the hand at the right of the picture, and at its left. */
  right?: Held
  left?: Held
  /** How high each hand is held, mm. */
  rightAt?: number
  leftAt?: number
  coat?: 'none' | 'coat' | 'robe' | 'cloak'
  /** Half the distance of the feet. */
  stride?: number
  /** How stout: 1 as most are. */
  girth?: number
  /** On a mount or a seat: no legs below the hip. */
  seated?: boolean
}

/** Somebody on foot (or seated), facing the one who looks. */
export function person(stance: Stance = {}): Solid[] {
  const { head = 'bare', right = 'nothing', left = 'nothing', rightAt = 17, leftAt = 17 } = stance
  const girth = stance.girth ?? 1
  const [rightHand, leftHand]: [Point, Point] = [
    [7.6 * Math.sqrt(girth), -1.5, rightAt],
    [-7.6 * Math.sqrt(girth), -1.5, leftAt],
  ]
  const crown: Point = [0, -0.6, 26.6]
  return [
    ...(stance.seated ? seatedLegs() : legs(stance.stride ?? 3, girth)),
    trunk(girth),
    ball(crown, [2.3, 2.4, 2.8]),
    ...headgear[head](crown),
    arm(rightHand, girth),
    arm(leftHand, girth),
    ...coats[stance.coat ?? 'none'](girth),
    ...held[right](rightHand),
    ...held[left](leftHand),
  ]
}

function legs(stride: number, girth: number): Solid[] {
  return [-1, 1].flatMap((side) => [
    bar(
      [
        [side * stride, -1, 0.4],
        [side * stride, 0, 2],
        [side * (stride * 0.85), -0.8, 7.5],
        [side * 1.7, 0, 14],
      ],
      [1.5, 1.25, 1.5 * girth, 2 * girth],
    ),
    bar(
      [
        [side * stride, 0.4, 0.9],
        [side * (stride + 0.6), -3, 0.8],
      ],
      [1.2, 0.9],
    ),
  ])
}

const seatedLegs = () =>
  [-1, 1].map((side) =>
    bar(
      [
        [side * 1.5, 0, 13],
        [side * 4.2, -1.5, 10],
        [side * 4.6, -1, 3.5],
      ],
      [1.9, 1.6, 1.2],
    ),
  )

const trunk = (girth: number) =>
  stack([
    { z: 12, rx: 3 * girth, ry: 2.3 * girth },
    { z: 15, rx: 2.8 * girth, ry: 2.2 * girth },
    { z: 20.5, rx: 3.9 * girth, ry: 2.6 * girth },
    { z: 23, rx: 3.7 * girth, ry: 2.2 },
    { z: 24.2, rx: 1.6, ry: 1.5 },
    { z: 25.5, rx: 1.3, ry: 1.3 },
  ])

function arm([x, y, z]: Point, girth: number): Solid {
  const side = Math.sign(x)
  const shoulder: Point = [side * 3.6 * girth, 0, 22.2]
  const elbow: Point = [side * (Math.abs(x) * 0.5 + 3.2 * girth), 0.8, Math.min(z, 22) * 0.5 + 8.2 + (z > 22 ? 2 : 0)]
  return bar([shoulder, elbow, [x, y, z]], [1.6 * Math.sqrt(girth), 1.3, 1.15])
}

const coats = {
  none: () => [],
  coat: (girth: number) => [
    stack([
      { z: 6.5, rx: 4.3 * girth, ry: 3 * girth },
      { z: 13, rx: 3.2 * girth, ry: 2.5 * girth },
      { z: 15, rx: 3 * girth, ry: 2.4 * girth },
    ]),
  ],
  robe: (girth: number) => [
    stack([
      { z: 0.3, rx: 5.6 * girth, ry: 4 * girth },
      { z: 3, rx: 5 * girth, ry: 3.7 * girth },
      { z: 13, rx: 3.3 * girth, ry: 2.6 * girth },
      { z: 20, rx: 3.9 * girth, ry: 2.7 * girth },
    ]),
  ],
  cloak: (girth: number) => [
    stack([
      { z: 1.5, rx: 6.8 * girth, ry: 2.6, y: 3.4 },
      { z: 4, rx: 6 * girth, ry: 2.6, y: 3 },
      { z: 14, rx: 4.6 * girth, ry: 2.4, y: 2 },
      { z: 22.5, rx: 4.3 * girth, ry: 2.5, y: 0.8 },
      { z: 24.3, rx: 2.3, ry: 2, y: 0.4 },
    ]),
  ],
} satisfies Record<string, (girth: number) => Solid[]>
