import { person, type Stance } from './people.ts'
import { arc, ball, bar, block, hollow, placed, type Solid, stack } from './solids.ts'

// Beasts stand along the front of their base, so that their side is what a shadow shows; they look to the left.

/** A heron, and who rides it. @param leg length of its legs, mm */
export function heronRider(rider: Stance, { leg = 26, stout = 1, bill = 11 } = {}): Solid[] {
  const body = leg + 6
  return [
    ...[-3, 4].map((x, index) =>
      bar(
        [
          [x + (index ? 3 : -2), -1, 0.5],
          [x, 0, leg * 0.5],
          [x + (index ? -2 : 2), 0, leg],
          [0, 0, body],
        ],
        [0.9, 1.1, 0.9, 2],
      ),
    ),
    ...[-3, 4].map((x, index) =>
      bar(
        [
          [x + (index ? 5.5 : 0.5), -1, 0.6],
          [x + (index ? -1 : -6), -1, 0.6],
        ],
        0.7,
      ),
    ),
    ball([1, 0, body + 2], [13 * stout, 6 * stout, 6.5 * stout]),
    bar(
      [
        [11, 0, body + 2],
        [20, 0, body - 3],
      ],
      [4.5 * stout, 0.8],
    ),
    bar(
      [
        [-9, 0, body + 4],
        [-14, 0, body + 9],
        [-12.5, 0, body + 16],
        [-16, 0, body + 22],
      ],
      [3.6, 2.2, 1.7, 1.6],
    ),
    ball([-17, 0, body + 23], [3, 2, 2.2]),
    bar(
      [
        [-18.5, 0, body + 23],
        [-18 - bill, 0, body + 20.5],
      ],
      [1.4, 0.2],
    ),
    bar(
      [
        [-15, 0, body + 24],
        [-9, 0, body + 26],
      ],
      [0.8, 0.2],
    ),
    ...placed(person({ ...rider, seated: true }), { by: [2, 0, body - 4], scale: 0.92 }),
  ]
}

/** An ox, and who drives it from its back. */
export function oxRider(
  rider: Stance | null,
  { long = 1, horns = 9, panniers = false, furnace = false } = {},
): Solid[] {
  const reach = 24 * long
  return [
    ...[-reach * 0.62, -reach * 0.44, reach * 0.48, reach * 0.66].map((x, index) =>
      bar(
        [
          [x, index % 2 ? 5 : -5, 0.4],
          [x, index % 2 ? 5 : -5, 3],
          [x * 0.95, index % 2 ? 4.5 : -4.5, 16],
        ],
        [2.6, 2.1, 3.6],
      ),
    ),
    ball([0, 0, 23], [reach, 10, 11]),
    ball([-reach * 0.55, 0, 28], [9, 7, 8]),
    bar(
      [
        [-reach * 0.75, 0, 27],
        [-reach - 4, 0, 23],
      ],
      [7, 5],
    ),
    bar(
      [
        [-reach - 4, 0, 23],
        [-reach - 10, 0, 17],
      ],
      [4.6, 3],
    ),
    ...[-1, 1].map((side) =>
      bar(
        [
          [-reach - 3, side * 3, 27],
          [-reach - 4, side * 6, 31],
          [-reach - 4 - side * 2 - horns * 0.4, side * 6, 30 + horns],
        ],
        [1.5, 1.2, 0.2],
      ),
    ),
    bar(
      [
        [reach * 0.97, 0, 27],
        [reach + 4, 0, 20],
        [reach + 3, 0, 10],
      ],
      [1.2, 0.9, 1.6],
    ),
    ...(panniers ? [block([7, -10.5, 25], [15, 6, 11]), block([7, 10.5, 25], [15, 6, 11])] : []),
    ...(furnace
      ? [
          stack([
            { z: 32, rx: 7, x: 11 },
            { z: 42, rx: 5.5, x: 11 },
            { z: 50, rx: 2.6, x: 11 },
            { z: 54, rx: 2.8, x: 11 },
          ]),
        ]
      : []),
    ...(rider ? placed(person({ ...rider, seated: true }), { by: [furnace ? -5 : 0, 0, 22] }) : []),
  ]
}

/** A lean dog that runs to the left. */
export function hound({ stout = 1, spines = false } = {}): Solid[] {
  return [
    ...[
      [-12, -15],
      [-8, -6],
      [9, 13],
      [12, 17],
    ].map(([hip = 0, foot = 0], index) =>
      bar(
        [
          [foot, index % 2 ? 2.6 : -2.6, 0.4],
          [(hip + foot) / 2 + 1.5, index % 2 ? 2.6 : -2.6, 5.5],
          [hip, index % 2 ? 2.4 : -2.4, 12],
        ],
        [1.1, 1.1, 2.4],
      ),
    ),
    ball([-6, 0, 15], [9, 4.6 * stout, 5 * stout]),
    ball([7, 0, 14.5], [9, 3.8 * stout, 3.9 * stout]),
    bar(
      [
        [-12, 0, 17],
        [-18, 0, 22],
      ],
      [3.4, 2.4],
    ),
    ball([-19.5, 0, 23], [3.6, 2.6, 2.7]),
    bar(
      [
        [-21, 0, 22.6],
        [-26.5, 0, 20.5],
      ],
      [2, 0.9],
    ),
    ...[-1.4, 1.4].map((y) =>
      bar(
        [
          [-18, y, 25],
          [-16, y * 1.4, 29],
        ],
        [1.1, 0.2],
      ),
    ),
    bar(
      [
        [15, 0, 16],
        [21, 0, 20],
        [24, 0, 26],
      ],
      [1.4, 0.9, 0.3],
    ),
    ...(spines
      ? [-10, -5, 0, 5, 10].map((x) =>
          bar(
            [
              [x, 0, 18],
              [x + 2.5, 0, 25],
            ],
            [1.3, 0.1],
          ),
        )
      : []),
  ]
}

/** A thing of the mud that is mostly mouth. @param gape how far it opens, degrees */
export function gaper({ gape = 55, tall = 1, brood = 0 } = {}): Solid[] {
  const jaw = (angle: number) => {
    const [cos, sin] = [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)]
    return { tip: [-8 - 40 * cos, 0, 34 * tall + 40 * sin] as const, cos, sin }
  }
  const [upper, lower] = [jaw(gape * 0.75), jaw(-gape * 0.4)]
  const teeth = ({ cos, sin }: typeof upper, down: number) =>
    [14, 22, 30, 37].map((at) => {
      const [x, z] = [-8 - at * cos, 34 * tall + at * sin]
      return bar(
        [
          [x, -5, z],
          [x + 1, -5, z + down],
        ],
        [1.8, 0.1],
      )
    })
  return [
    ...hollow(
      stack(
        [
          { z: 0.3, rx: 40, ry: 24, x: 8 },
          { z: 9, rx: 36, ry: 22, x: 9 },
          { z: 24 * tall, rx: 25, ry: 19, x: 8 },
          { z: 44 * tall, rx: 17, ry: 15, x: 6 },
          { z: 54 * tall, rx: 6, ry: 6, x: 5 },
        ],
        20,
      ),
    ),
    bar([[6, 0, 38 * tall], upper.tip], [15, 3.4], 14),
    bar([[6, 0, 30 * tall], lower.tip], [13, 3], 14),
    ...teeth(upper, -8),
    ...teeth(lower, 7),
    ...[0, 1, 2].map((fin) =>
      bar(
        [
          [10 + fin * 9, 0, (50 - fin * 12) * tall],
          [16 + fin * 11, 0, (64 - fin * 14) * tall],
        ],
        [5, 0.4],
      ),
    ),
    ball([-4, -11, 48 * tall], [4, 4, 4]),
    ...Array.from({ length: brood }, (_, index) =>
      placed([ball([0, 0, 4], [7, 5, 5]), bar([[-3, 0, 6], ...arc([-8, 0, 10], 5, 270, 120)], 1.6)], {
        by: [-30 + index * 25, -16, 0],
      }),
    ).flat(),
  ]
}
