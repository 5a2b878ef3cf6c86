/*
 * Imports run one way: main -> app -> jobs -> features -> http, scoring, planning, web, db; commands stand above the features.
 * A type-only import ties two places together just as much, so it counts as well. `npm run imports` checks it, `test/support/imports.test.ts` that it
 * finds what breaks it.
 */

/** Each layer: where it is, and which others it may import from besides itself. */
const layers = {
  commands: {
    at: '^server/commands/',
    below: ['features', 'http', 'config', 'scoring', 'planning', 'web', 'db'],
  },
  main: {
    at: '^server/main\\.ts$',
    below: ['app', 'jobs', 'features', 'http', 'config', 'scoring', 'planning', 'web', 'db'],
  },
  // The list of all features belongs to the application, which registers them.
  app: {
    at: '^server/((?!main\\.ts$|config\\.ts$)[^/]+|features/index\\.ts)$',
    below: ['jobs', 'features', 'http', 'config', 'scoring', 'planning', 'web', 'db'],
  },
  jobs: { at: '^server/jobs/', below: ['features', 'http', 'config', 'scoring', 'planning', 'db'] },
  features: { at: '^server/features/(?!index\\.ts$)', below: ['http', 'config', 'scoring', 'planning', 'web', 'db'] },
  http: { at: '^server/http/', below: ['config', 'web', 'db'] },
  config: { at: '^server/config\\.ts$', below: [] },
  scoring: { at: '^server/scoring/', below: [] },
  planning: { at: '^server/planning/', below: [] },
  web: { at: '^web/', below: [] },
  db: { at: '^db/', below: [] },
}

/** Started by hand: it calls a bundler, which what it belongs to must not. */
const build = '^web/build\\.ts$'

const fromOutside = ['core', 'npm', 'npm-dev', 'npm-optional', 'npm-peer', 'npm-no-pkg', 'npm-unknown']

const layerRules = Object.entries(layers).map(([name, { at, below }]) => ({
  name: `${name}-imports-only-below`,
  comment: `${name} imports only from ${[name, ...below].join(', ')}`,
  severity: 'error',
  from: { path: at },
  to: { pathNot: [at, ...below.map((other) => layers[other].at)], dependencyTypesNot: fromOutside },
}))

/** The scoring does its own sums; what it is tested against does not ship. */
const packageRules = [
  { layer: 'scoring', allowed: 'none', packages: [] },
  {
    layer: 'planning',
    allowed: 'highs, maxrects-packer, node:worker_threads and node:os',
    packages: ['(^|/)node_modules/(highs|maxrects-packer)/', '^(node:)?(worker_threads|os)$'],
  },
  {
    layer: 'web',
    allowed: 'preact, and idb for what waits on a phone',
    packages: ['(^|/)node_modules/(preact(-render-to-string)?|idb)/'],
    but: ['^web/mesh/'],
  },
].map(({ layer, allowed, packages, but = [] }) => ({
  name: `${layer}-imports-no-other-package`,
  comment: `packages that ${layer} may import: ${allowed}`,
  severity: 'error',
  from: { path: layers[layer].at, pathNot: [build, ...but] },
  to: { dependencyTypes: fromOutside, pathNot: packages },
}))

/** What measures a mesh is a program of its own, in a worker: pages know only its messages. */
const meshRules = [
  {
    name: 'mesh-imports-only-what-measures',
    comment:
      'packages that web/mesh may import: @noble/hashes, d3-contour, fflate, saxes, simplify-js and the loaders of three',
    severity: 'error',
    from: { path: '^web/mesh/' },
    to: {
      dependencyTypes: fromOutside,
      pathNot: [
        '(^|/)node_modules/(@noble/hashes|(@types/)?d3-contour|fflate|saxes|simplify-js|three/examples/jsm/loaders)/',
      ],
    },
  },
  {
    name: 'mesh-stays-in-its-worker',
    comment: 'a page imports of web/mesh only what brings no package along',
    severity: 'error',
    from: { path: '^(server|web)/', pathNot: ['^web/mesh/', build] },
    to: { path: '^web/mesh/', pathNot: '^web/mesh/(measure|measuring|refusal|resized|units)\\.ts$' },
  },
]

/** The rooms of the features, each of which may use those before it. */
const rooms = ['evidence', 'people', 'catalogue', 'printing', 'requests', 'rosters', 'overview']

const roomRules = rooms.map((room, place) => ({
  name: `${room}-imports-no-later-room`,
  comment: `rooms import one way: ${rooms.join(', ')}`,
  severity: 'error',
  from: { path: `^server/features/${room}/` },
  to: { path: '^server/features/[^/]+/', pathNot: rooms.slice(0, place + 1).map((one) => `^server/features/${one}/`) },
}))

export default {
  forbidden: [
    ...layerRules,
    ...packageRules,
    ...meshRules,
    ...roomRules,
    {
      name: 'routes-are-nobody-elses',
      comment: "a feature uses another's queries and rules, never its routes",
      severity: 'error',
      from: { path: '^(server/features/.+)/[^/]+$', pathNot: '^server/features/index' },
      to: { path: '^server/features/.+[-/](api|pages)\\.tsx?$', pathNot: '^$1/[^/]+$' },
    },
    {
      name: 'every-file-in-its-layer',
      comment: 'this file has no place in the house (server, web, db and their folders)',
      severity: 'error',
      from: { pathNot: Object.values(layers).map(({ at }) => at) },
      to: {},
    },
    {
      name: 'found',
      comment: 'what is imported has to be there, and in package.json',
      severity: 'error',
      from: {},
      to: { couldNotResolve: true },
    },
    {
      name: 'no-circle',
      comment: 'files that import each other in a circle',
      severity: 'error',
      from: {},
      to: { circular: true },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    enhancedResolveOptions: { exportsFields: ['exports'], conditionNames: ['import', 'node', 'default', 'types'] },
  },
}
