import { person, type Stance } from './people.ts'
import { arc, ball, bar, block, hollow, placed, type Solid, slab, stack } from './solids.ts'

/** Somebody as tall as a house. @param scale times a man */
export function giant(stance: Stance, { scale = 3.1, gate = true, chain = false, bell = false } = {}): Solid[] {
  return [
    // A trunk or a coat, not a bent limb
    ...placed(person({ girth: 1.45, stride: 4.4, ...stance }), { scale }).flatMap((solid) => hollow(solid, 38)),
    ...(gate
      ? [
          slab(
            [
              [-47, 8],
              [-17, 8],
              [-17, 62],
              [-47, 62],
            ],
            -8,
            5,
          ),
          ...[14, 26, 38, 50].map((z) => block([-32, -11.5, z], [32, 2.4, 3.4])),
          bar(
            [
              [-32, -8, 58],
              [-32, -8, 80],
            ],
            2.2,
          ),
          block([-32, -8, 80], [13, 4, 4]),
        ]
      : []),
    ...(chain
      ? Array.from({ length: 9 }, (_, link) => ball([30 + link * 2.2, -4, 44 - link * 4.4], [3, 2, 3.2], 8))
      : []),
    ...(bell ? placed(bellOn(), { by: [31, -4, 50], scale: 2.6 }) : []),
  ]
}

const bellOn = () => [
  stack([
    { z: -9, rx: 4.6 },
    { z: -7, rx: 3.7 },
    { z: -2, rx: 2.6 },
    { z: 0, rx: 0.9 },
  ]),
  bar(
    [
      [0, 0, 0],
      [0, 0, 4],
    ],
    0.6,
  ),
]

/** A flat boat with a crew, and what it carries amidships. */
export function punt(crew: Stance[], { mortar = true, awning = false, raft = false } = {}): Solid[] {
  const hull = raft
    ? [-14, -7, 0, 7, 14].map((y) =>
        bar(
          [
            [-44, y, 4],
            [44, y, 4],
          ],
          3.6,
        ),
      )
    : [
        slab(
          [
            [-38, 0.4],
            [38, 0.4],
            [48, 12],
            [42, 12],
            [-42, 12],
            [-48, 12],
          ],
          0,
          32,
        ),
      ]
  const deck = raft ? 7 : 9
  return [
    ...hull,
    ...(mortar
      ? [
          block([0, 0, deck + 4], [20, 16, 7]),
          ...placed(
            [
              stack([
                { z: -5, rx: 7.5 },
                { z: 4, rx: 8 },
                { z: 18, rx: 6.5 },
                { z: 20, rx: 8 },
              ]),
            ],
            { by: [1, 0, deck + 11], leant: 28 },
          ),
        ]
      : []),
    ...(awning
      ? [
          ...[-36, -16].map((x) =>
            bar(
              [
                [x, 0, deck],
                [x, 0, 46],
              ],
              0.8,
            ),
          ),
          slab(
            [
              [-41, 45],
              [-11, 45],
              [-14, 50],
              [-38, 50],
            ],
            0,
            28,
          ),
        ]
      : []),
    ...crew.flatMap((stance, index) =>
      placed(person(stance), { by: [[-28, 29, -15, 19][index] ?? 0, index % 2 ? 6 : -4, deck] }),
    ),
  ]
}

/** A house that walks on legs of its own. */
export function walkingHouse({ legs = 6, storeys = 2, chimney = 1, ladder = false } = {}): Solid[] {
  const floor = 44
  const eaves = floor + 26 * storeys
  return [
    ...Array.from({ length: legs }, (_, index) => {
      const x = -44 + (88 * index) / (legs - 1)
      return bar(
        [
          [x * 1.15, index % 2 ? 22 : -22, 0.5],
          [x * 1.2, index % 2 ? 26 : -26, 20],
          [x * 0.75, index % 2 ? 14 : -14, floor + 2],
        ],
        [4.4, 3.6, 5.4],
      )
    }),
    ...hollow(block([0, 0, (floor + eaves) / 2], [76, 50, eaves - floor])),
    block([6, 0, floor - 3], [88, 56, 7]),
    ...hollow(
      slab(
        [
          [-46, eaves],
          [46, eaves],
          [22, eaves + 34],
          [-26, eaves + 34],
        ],
        0,
        60,
      ),
    ),
    ...Array.from({ length: chimney }, (_, index) => block([18 - index * 34, 0, eaves + 36], [11, 11, 34])),
    ...(ladder
      ? [
          ...[-58, -51].map((x) =>
            bar(
              [
                [x, -20, 6],
                [x, -20, floor + 8],
              ],
              0.9,
            ),
          ),
          ...[12, 21, 30, 39].map((z) =>
            bar(
              [
                [-58, -20, z],
                [-51, -20, z],
              ],
              0.8,
            ),
          ),
        ]
      : []),
    ...placed(person({ head: 'brim', right: 'lantern', coat: 'coat' }), { by: [-36, -20, floor], scale: 0.9 }),
  ]
}

/** Dogs before a sledge of peat, and its driver. */
export function sledge(dogs: Solid[], count: number): Solid[] {
  return [
    ...Array.from({ length: count }, (_, index) =>
      placed(dogs, { by: [-34 + (index % 3) * 17, index < 3 ? -11 : 11, 0], scale: 0.62 }),
    ).flat(),
    bar(
      [
        [0, 0, 4],
        [36, 0, 3],
        [46, 0, 6],
      ],
      1.4,
    ),
    ...[-11, 11].map((y) =>
      bar(
        [
          [6, y, 6],
          [12, y, 1.2],
          [46, y, 1.2],
        ],
        1.2,
      ),
    ),
    block([28, 0, 9], [34, 24, 8]),
    ball([26, 0, 15], [15, 11, 9]),
    ...placed(person({ head: 'hood', coat: 'cloak', right: 'pole', leftAt: 14 }), { by: [38, 0, 12] }),
  ]
}

/** A mirror on a frame, with those who turn it. */
export function heliograph(crew: Stance[]): Solid[] {
  return [
    bar(
      [
        [-16, 4, 0.5],
        [-3, 4, 40],
      ],
      1.2,
    ),
    bar(
      [
        [16, 4, 0.5],
        [3, 4, 40],
      ],
      1.2,
    ),
    bar(
      [
        [0, 20, 0.5],
        [0, 4, 40],
      ],
      1.2,
    ),
    bar(
      [
        [-17, 4, 48],
        [17, 4, 48],
      ],
      1.1,
    ),
    bar(arc([0, 2, 50], 17, 0, 359, 24), 1.6),
    slab(
      arc([0, 2, 50], 15, 0, 345, 23).map(([x, , z]) => [x, z] as const),
      2,
      1.2,
    ),
    ...crew.flatMap((stance, index) =>
      placed(person(stance), { by: [[-22, 22, 8][index] ?? 0, [-10, -8, -20][index] ?? 0, 0], scale: 1.1 }),
    ),
  ]
}

/** A barge that goes over cinders on runners. */
export function barge(crew: Stance[]): Solid[] {
  return [
    ...[-26, 26].map((y) =>
      bar(
        [
          [-76, y, 9],
          [-62, y, 2.4],
          [70, y, 2.4],
        ],
        2.4,
      ),
    ),
    ...[-44, 0, 44].flatMap((x) =>
      [-26, 26].map((y) =>
        bar(
          [
            [x, y, 3],
            [x * 0.96, y * 0.7, 20],
          ],
          2.2,
        ),
      ),
    ),
    ...hollow(
      slab(
        [
          [-62, 18],
          [62, 18],
          [74, 36],
          [-80, 42],
        ],
        0,
        56,
      ),
    ),
    ...hollow(block([24, 0, 46], [52, 38, 22])),
    slab(
      [
        [-4, 56],
        [54, 56],
        [50, 61],
        [0, 61],
      ],
      0,
      44,
    ),
    stack([
      { z: 56, rx: 8, x: 36 },
      { z: 92, rx: 6, x: 36 },
      { z: 94, rx: 8, x: 36 },
      { z: 100, rx: 8.5, x: 36 },
    ]),
    bar(
      [
        [-40, 0, 38],
        [-40, 0, 88],
      ],
      1.3,
    ),
    slab(
      [
        [-40, 60],
        [-14, 62],
        [-18, 72],
        [-12, 82],
        [-40, 84],
      ],
      0,
      1.2,
    ),
    ...crew.flatMap((stance, index) =>
      placed(person(stance), { by: [[-58, -26, -10][index] ?? 0, [-8, 10, -14][index] ?? 0, 39], scale: 1.1 }),
    ),
  ]
}

/** A chair with a high narrow back, and who sits in it. */
export function enthroned(stance: Stance): Solid[] {
  return [
    block([0, 2, 9], [20, 16, 6]),
    ...[-9, 9].map((x) =>
      bar(
        [
          [x, 8, 0.4],
          [x * 0.9, 9, 34],
          [x * 1.1, 9, 40],
        ],
        [1.8, 1.2, 0.3],
      ),
    ),
    ...[18, 26].map((z) => block([0, 9, z], [16, 2, 2.2])),
    ...[-10, 10].map((x) =>
      bar(
        [
          [x, -5, 0.4],
          [x, -5, 21],
          [x, 7, 21],
        ],
        1.6,
      ),
    ),
    ...placed(person({ ...stance, girth: 1.3, seated: true }), { by: [0, 0, 5], scale: 1.2 }),
    stack([
      { z: 0.4, rx: 9.5, ry: 7, y: -5 },
      { z: 12, rx: 6.5, ry: 5, y: -4 },
      { z: 20, rx: 4.6, ry: 3.4, y: -1 },
    ]),
  ]
}
