import { arc, ball, bar, block, type Point, type Solid, slab, stack } from './solids.ts'

/** What a figure wears on its head, by the place of the head's middle. */
export const headgear = {
  bare: () => [],
  hood: ([x, y, z]: Point) => [
    stack([
      { z: z - 4.2, rx: 3.9, ry: 3.4, x, y },
      { z: z - 1.5, rx: 3.2, ry: 3, x, y },
      { z: z + 1, rx: 2.7, ry: 2.7, x, y: y + 0.4 },
      { z: z + 2.8, rx: 1.5, ry: 1.6, x: x + 0.5, y: y + 1 },
      { z: z + 4, rx: 0.4, x: x + 1, y: y + 1.6 },
    ]),
  ],
  brim: ([x, y, z]: Point) => [
    stack([
      { z: z + 0.9, rx: 4.9, ry: 4.4, x, y },
      { z: z + 1.5, rx: 4.6, ry: 4.1, x, y },
      { z: z + 1.7, rx: 2.3, x, y },
      { z: z + 3.8, rx: 1.8, x, y },
    ]),
  ],
  helm: ([x, y, z]: Point) => [
    stack([
      { z: z - 1, rx: 2.7, x, y },
      { z: z + 0.8, rx: 2.7, x, y },
      { z: z + 2.4, rx: 1.6, x, y },
      { z: z + 4.4, rx: 0.4, x, y },
    ]),
  ],
  kettle: ([x, y, z]: Point) => [
    stack([
      { z: z + 0.3, rx: 3.8, x, y },
      { z: z + 0.9, rx: 3.2, x, y },
      { z: z + 2.6, rx: 1.9, x, y },
      { z: z + 3.4, rx: 0.6, x, y },
    ]),
  ],
  tall: ([x, y, z]: Point) => [
    stack([
      { z: z + 0.8, rx: 2.6, x, y },
      { z: z + 6, rx: 2, x, y: y + 0.3 },
      { z: z + 7.4, rx: 2.3, x, y: y + 0.3 },
    ]),
  ],
  feather: ([x, y, z]: Point): Solid[] => [
    ...headgear.kettle([x, y, z]),
    bar(
      [
        [x + 1, y, z + 2],
        [x + 3, y, z + 6],
        [x + 6, y, z + 7.5],
      ],
      [0.9, 1, 0.3],
    ),
  ],
  crown: ([x, y, z]: Point) => [
    stack([
      { z: z + 0.6, rx: 2.7, x, y },
      { z: z + 1.8, rx: 2.9, x, y },
    ]),
    ...[-2.4, -0.8, 0.8, 2.4].map((dx) =>
      bar(
        [
          [x + dx, y, z + 1.5],
          [x + dx * 1.1, y, z + 6 - Math.abs(dx) * 0.5],
        ],
        [0.75, 0.55],
      ),
    ),
  ],
  veil: ([x, y, z]: Point) => [
    stack([
      { z: z - 9, rx: 4.4, ry: 2.4, x, y: y + 2.2 },
      { z: z - 2, rx: 3.2, ry: 2.6, x, y: y + 0.8 },
      { z: z + 2.6, rx: 1.4, x, y },
    ]),
  ],
} satisfies Record<string, (head: Point) => Solid[]>

export type Headgear = keyof typeof headgear

const leaf = ([x, y, z]: Point, width: number, height: number) =>
  slab(
    [
      [x, z],
      [x + width / 2, z + height * 0.35],
      [x, z + height],
      [x - width / 2, z + height * 0.35],
    ],
    y,
    0.9,
  )

/** What a hand holds, by where the hand is; poles stand on the ground. */
export const held = {
  nothing: () => [],
  spear: ([x, y]: Point) => [
    bar(
      [
        [x, y, 0.6],
        [x, y, 38],
      ],
      0.55,
    ),
    leaf([x, y, 37], 2.6, 7),
  ],
  fork: ([x, y]: Point) => [
    bar(
      [
        [x, y, 0.6],
        [x, y, 34],
      ],
      0.55,
    ),
    bar(arc([x, y, 38], 3.2, 180, 360), 0.5),
    ...[-3.2, 3.2].map((dx) =>
      bar(
        [
          [x + dx, y, 38],
          [x + dx, y, 43],
        ],
        [0.5, 0.25],
      ),
    ),
    bar(
      [
        [x, y, 34],
        [x, y, 43],
      ],
      [0.5, 0.25],
    ),
  ],
  pike: ([x, y]: Point) => [
    bar(
      [
        [x, y, 0.6],
        [x, y, 56],
      ],
      0.55,
    ),
    leaf([x, y, 55], 2.2, 6),
  ],
  levelled: ([x, y, z]: Point) => [
    bar(
      [
        [x - 15, y + 2, z - 5],
        [x + 17, y - 3, z + 8],
      ],
      0.6,
    ),
    bar(
      [
        [x + 16.5, y - 3, z + 7.8],
        [x + 22, y - 4, z + 10],
      ],
      [1.2, 0.2],
    ),
  ],
  lance: ([x, y, z]: Point) => [
    bar(
      [
        [x - 6, y, z - 12],
        [x + 6, y, z + 24],
      ],
      [0.7, 0.4],
    ),
    leaf([x + 6, y, z + 23.5], 2, 5),
  ],
  bow: ([x, y, z]: Point) => [
    bar(arc([x + 5, y, z], 13, 118, 242), [0.4, 0.6, 0.7, 0.8, 0.9, 1, 0.9, 0.8, 0.7, 0.6, 0.4]),
    bar(
      [
        [x - 1.1, y, z - 11.5],
        [x - 1.1, y, z + 11.5],
      ],
      0.3,
    ),
  ],
  drawn: ([x, y, z]: Point) => [
    bar(arc([x - 4, y, z], 12, -65, 65), [0.4, 0.6, 0.7, 0.8, 0.9, 1, 0.9, 0.8, 0.7, 0.6, 0.4]),
    bar(
      [
        [x + 1, y, z - 10.9],
        [x - 7, y, z],
        [x + 1, y, z + 10.9],
      ],
      0.3,
    ),
    bar(
      [
        [x - 8, y, z],
        [x + 12, y, z],
      ],
      [0.35, 0.35],
    ),
  ],
  banner: ([x, y]: Point) => [
    bar(
      [
        [x, y, 0.6],
        [x, y, 48],
      ],
      0.65,
    ),
    slab(
      [
        [x, 31],
        [x + 15, 33.5],
        [x + 13, 39],
        [x + 16, 45],
        [x, 46],
      ],
      y,
      0.9,
    ),
  ],
  lantern: ([x, y]: Point) => [
    bar(
      [
        [x, y, 0.6],
        [x, y, 39],
        [x + 2, y, 41.5],
        [x + 5, y, 41],
      ],
      0.6,
    ),
    bar(
      [
        [x + 5, y, 41],
        [x + 5, y, 37],
      ],
      0.35,
    ),
    stack(
      [
        { z: 30, rx: 1.8, x: x + 5, y },
        { z: 31, rx: 2.5, x: x + 5, y },
        { z: 35.5, rx: 2.3, x: x + 5, y },
        { z: 37.4, rx: 0.6, x: x + 5, y },
      ],
      6,
    ),
  ],
  crook: ([x, y]: Point) => [bar([[x, y, 0.6], [x, y, 36], ...arc([x - 3, y, 36], 3, 0, 200)], 0.6)],
  hook: ([x, y]: Point) => [
    bar(
      [
        [x, y, 0.6],
        [x, y, 40],
      ],
      0.6,
    ),
    bar(arc([x + 4, y, 40], 4, 180, -40), [0.7, 0.8, 0.9, 1, 1, 1, 0.9, 0.8, 0.6, 0.4, 0.2]),
  ],
  brush: ([x, y]: Point) => [
    bar(
      [
        [x, y, 0.6],
        [x, y, 36],
      ],
      0.6,
    ),
    ball([x, y, 39], [4, 3, 3.6], 9),
  ],
  pole: ([x, y]: Point) => [
    bar(
      [
        [x - 7, y - 2, 0.6],
        [x + 3, y, 52],
      ],
      0.7,
    ),
  ],
  hammer: ([x, y, z]: Point) => [
    bar(
      [
        [x, y, z - 9],
        [x, y, z + 12],
      ],
      0.7,
    ),
    block([x, y, z + 13], [8, 3.6, 4.4]),
  ],
  club: ([x, y, z]: Point) => [
    bar(
      [
        [x, y, z - 2],
        [x + 3, y, z + 13],
      ],
      [0.6, 1.9],
    ),
  ],
  sickle: ([x, y, z]: Point) => [bar([[x, y, z - 2], [x, y, z + 4], ...arc([x - 4, y, z + 4], 4, 0, 160)], 0.6)],
  sling: ([x, y, z]: Point) => [
    bar([[x, y, z], ...arc([x - 6, y, z + 4], 7, -20, 150)], 0.35),
    ball([x - 12, y, z + 7.6], [1.3, 1.3, 1.3], 8),
  ],
  ledger: ([x, y, z]: Point) => [block([x - 1, y - 1.5, z + 1], [6.4, 1.8, 8])],
  quill: ([x, y, z]: Point) => [
    bar(
      [
        [x, y, z - 1],
        [x + 3.5, y, z + 9],
      ],
      [0.3, 1.2],
    ),
  ],
  horn: ([x, y, z]: Point) => [
    bar(arc([x - 3, y - 2, z + 7], 6, -60, 80), [0.5, 0.6, 0.8, 1, 1.2, 1.4, 1.6, 1.8, 2, 2.3, 2.6]),
  ],
  bell: ([x, y, z]: Point) => [
    stack([
      { z: z - 6, rx: 3.4, x, y },
      { z: z - 4.6, rx: 2.7, x, y },
      { z: z - 1.5, rx: 2, x, y },
      { z, rx: 0.7, x, y },
    ]),
  ],
  bucket: ([x, y, z]: Point) => [
    stack([
      { z: z - 8, rx: 2.3, x, y },
      { z: z - 2.5, rx: 3.1, x, y },
    ]),
    bar(arc([x, y, z - 2.5], 2.8, 0, 180), 0.35),
  ],
  flask: ([x, y, z]: Point) => [
    ball([x, y, z - 4], [3.4, 3.4, 3.6]),
    bar(
      [
        [x, y, z - 1],
        [x, y, z + 2],
      ],
      1,
    ),
  ],
  bellows: ([x, y, z]: Point) => [
    slab(
      [
        [x - 4, z - 8],
        [x + 5, z - 6],
        [x + 6.5, z + 3],
        [x + 1, z + 8],
        [x - 5, z + 4],
      ],
      y - 1,
      5,
    ),
    bar(
      [
        [x + 5, y, z - 6],
        [x + 9, y, z - 12],
      ],
      [1.3, 0.6],
    ),
    bar(
      [
        [x - 3, y, z + 5],
        [x - 6, y, z + 12],
      ],
      0.7,
    ),
  ],
  tongs: ([x, y, z]: Point) => [
    bar(
      [
        [x, y, z - 8],
        [x + 1, y, z + 4],
        [x - 2, y, z + 11],
      ],
      0.6,
    ),
    bar(
      [
        [x + 1, y, z - 8],
        [x, y, z + 4],
        [x + 4, y, z + 11],
      ],
      0.6,
    ),
  ],
  blade: ([x, y, z]: Point) => [
    bar([[x, y, z - 1], ...arc([x - 2, y, z + 9], 9, -60, 40)], [0.5, 0.6, 0.8, 0.9, 1, 1, 1, 1, 0.9, 0.8, 0.5, 0.2]),
  ],
  sword: ([x, y, z]: Point) => [
    bar(
      [
        [x, y, z - 2],
        [x + 4, y, z + 15],
      ],
      [0.9, 0.25],
    ),
    bar(
      [
        [x - 2, y, z + 1],
        [x + 2.6, y, z],
      ],
      0.5,
    ),
  ],
  basket: ([x, y, z]: Point) => [
    stack([
      { z: z - 5, rx: 2.6, x, y },
      { z: z + 1, rx: 4, x, y },
    ]),
  ],
  sack: ([x, y, z]: Point) => [ball([x, y + 2, z - 1], [4.4, 3.6, 5.4])],
  drum: ([x, y, z]: Point) => [
    stack([
      { z: z - 8, rx: 4.2, x, y: y - 2 },
      { z: z - 1, rx: 4.2, x, y: y - 2 },
    ]),
  ],
  mould: ([x, y, z]: Point) => [
    slab(
      [
        [x - 5, z - 3],
        [x + 5, z - 3],
        [x + 5, z + 5],
        [x + 1, z + 2],
        [x - 1, z + 7],
        [x - 5, z + 6],
      ],
      y - 2,
      4,
    ),
  ],
  brazier: ([x, y]: Point) => [
    bar(
      [
        [x, y, 0.6],
        [x, y, 44],
      ],
      0.7,
    ),
    stack([
      { z: 43, rx: 1.4, x, y },
      { z: 46, rx: 3.6, x, y },
      { z: 47, rx: 3.4, x, y },
    ]),
    bar(
      [
        [x - 1, y, 46],
        [x - 0.4, y, 52],
      ],
      [1.4, 0.2],
    ),
    bar(
      [
        [x + 1.4, y, 46],
        [x + 1, y, 50],
      ],
      [1.2, 0.2],
    ),
  ],
  net: ([x, y, z]: Point) => [
    slab(
      [
        [x - 5, z - 10],
        [x + 3, z - 12],
        [x + 5, z - 2],
        [x, z + 1],
        [x - 4, z - 1],
      ],
      y,
      1.2,
    ),
  ],
} satisfies Record<string, (hand: Point) => Solid[]>

export type Held = keyof typeof held
