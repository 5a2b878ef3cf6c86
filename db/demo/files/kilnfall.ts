import type { DemoFile } from './described.ts'

/** Stand-ins for units of Kilnfall. */
export const kilnfallFiles = {
  'pikes-of-the-blue-glaze': {
    about: { title: 'Pikes of the Blue Glaze', sculptor: 'lopsided', units: ['glaze-pikes'], price: 1900, looks: 0.85 },
    model: { heightMm: 66, resinMl: 11, options: ['pikes upright', 'pikes levelled', 'banner'], styleTags: ['ornate'] },
    revisions: [
      { label: '1.0', ago: 515, supplied: 0.6 },
      { label: '1.1', ago: 335, supplied: 0.78 },
      { label: '2.0', ago: 110, supplied: 0.93 },
    ],
    printed: 3,
  },
  'pikes-of-the-yard': {
    about: { title: 'Pikes of the Yard', sculptor: 'anvil', units: ['glaze-pikes'], price: 1500, looks: 0.75 },
    model: { heightMm: 60, resinMl: 12, options: ['pikes upright', 'drum'], styleTags: ['chunky'] },
    revisions: [{ label: 'A', ago: 400, supplied: 0.87 }],
  },
  'long-poles': {
    about: { title: 'Long Poles, Short Tempers', sculptor: 'mudd', units: ['glaze-pikes'], looks: 0.2 },
    model: { heightMm: 58, resinMl: 10, options: ['pikes levelled'], styleTags: ['comic', 'chunky'] },
    revisions: [{ label: '1', ago: 465, supplied: 0.66, own: 0.86 }],
  },
  'row-of-pikes': {
    about: { title: 'A Row of Pikes', sculptor: 'oddment', units: ['glaze-pikes'], price: 800, looks: 0.5 },
    model: {
      heightMm: 57,
      resinMl: 10.4,
      options: ['pikes upright'],
      styleTags: ['ragged'],
      base: ['rectangle', 20, 20],
    },
    revisions: [{ label: '1.0', ago: 420, supplied: 0.7 }],
  },

  'sweeps-with-hooks': {
    about: { title: 'Sweeps with Hooks', sculptor: 'thimble', units: ['ember-sweeps'], price: 900, looks: 0.85 },
    model: { heightMm: 55, resinMl: 13, options: ['hooks', 'brushes', 'soot sacks'], styleTags: ['weathered', 'folk'] },
    revisions: [
      { label: '1.0', ago: 450, supplied: 0.68, extra: 0.9 },
      { label: '1.1', ago: 185, supplied: 0.95 },
    ],
    printed: 3,
  },
  'flue-crawlers': {
    about: { title: 'Flue Crawlers', sculptor: 'ostervane', units: ['ember-sweeps'], price: 1000, looks: 0.7 },
    model: { heightMm: 50, resinMl: 12, options: ['hooks', 'ropes'], styleTags: ['heroic', 'grim'] },
    revisions: [{ label: '1', ago: 355, supplied: 0.91 }],
  },
  'soot-choir': {
    about: { title: 'Soot Choir', sculptor: 'verrowick', units: ['ember-sweeps'], price: 950, looks: 0.6 },
    model: {
      heightMm: 52,
      resinMl: 11,
      options: ['brushes', 'bells'],
      styleTags: ['comic', 'fine detail'],
      scaleMm: 28,
    },
    revisions: [{ label: '1', ago: 230, supplied: 0.86 }],
  },

  'bellows-men': {
    about: { title: 'Bellows Men', sculptor: 'kettle', units: ['bellows-guard'], price: 1200, looks: 0.75 },
    model: { heightMm: 58, resinMl: 17, options: ['bellows', 'tongs'], styleTags: ['chunky', 'heroic'] },
    revisions: [{ label: '1.0', ago: 435, supplied: 0.88 }],
    printed: 2,
  },
  'heavy-breathers': {
    about: { title: 'The Heavy Breathers', sculptor: 'teal', units: ['bellows-guard'], price: 1100, looks: 0.85 },
    model: { heightMm: 56, resinMl: 16, options: ['bellows', 'masks'], styleTags: ['grim', 'weathered'] },
    revisions: [{ label: '1.0', ago: 370, supplied: 0.83, extra: 0.91 }],
    printed: 2,
  },
  'crazed-pack': {
    about: { title: 'Crazed Pack', sculptor: 'grebe', units: ['crackle-hounds'], price: 900, looks: 0.85 },
    model: { heightMm: 38, resinMl: 9.5, options: ['leashes', 'handler'], styleTags: ['fine detail', 'grim'] },
    revisions: [{ label: '1.0', ago: 415, supplied: 0.92 }],
  },
  'pack-of-cracks': {
    about: { title: 'Pack of Cracks', sculptor: 'mudd', units: ['crackle-hounds'], looks: 0.7 },
    model: { heightMm: 36, resinMl: 8.8, options: ['leashes'], styleTags: ['chunky'], base: null },
    revisions: [{ label: '1', ago: 440, supplied: 0.72, extra: 0.85 }],
    printed: 2,
  },

  'riders-of-the-tip': {
    about: { title: 'Riders of the Tip', sculptor: 'kettle', units: ['slag-ox-riders'], price: 1400, looks: 0.8 },
    model: {
      heightMm: 72,
      resinMl: 38,
      options: ['goads', 'saddle furnace', 'banner'],
      styleTags: ['chunky', 'heroic'],
    },
    revisions: [
      { label: '1.0', ago: 505, supplied: 0.62 },
      { label: '1.1', ago: 300, supplied: 0.8 },
      { label: '1.2', ago: 145, supplied: 0.92 },
    ],
    printed: 2,
  },
  'slag-oxen': {
    about: { title: 'Slag Oxen', sculptor: 'wick', units: ['slag-ox-riders'], price: 1300, looks: 0.85 },
    model: { heightMm: 70, resinMl: 35, options: ['goads', 'panniers'], styleTags: ['weathered', 'folk'] },
    revisions: [{ label: '1.0', ago: 275, supplied: 0.9 }],
  },
  'tip-cattle': {
    about: { title: 'Tip Cattle', sculptor: 'oddment', units: ['slag-ox-riders'], price: 700, looks: 0.45 },
    model: { heightMm: 61, resinMl: 29, options: ['goads'], styleTags: ['ragged'], base: ['oval', 50, 75] },
    revisions: [{ label: '1.0', ago: 380, supplied: 0.71 }],
  },
  'the-firing-master': {
    about: { title: 'The Firing Master', sculptor: 'verrowick', units: ['firing-master'], price: 750, looks: 0.8 },
    model: { heightMm: 62, resinMl: 16, options: ['staff', 'apron'], styleTags: ['ornate'] },
    revisions: [{ label: '1', ago: 430, supplied: 0.87 }],
  },
  'nine-day-fire': {
    about: { title: 'Man of the Nine-Day Fire', sculptor: 'herons', units: ['firing-master'], price: 900, looks: 0.9 },
    model: { heightMm: 65, resinMl: 17, options: ['staff', 'brazier'], styleTags: ['fine detail', 'ornate'] },
    revisions: [{ label: '1.0', ago: 210, supplied: 0.95 }],
  },
  'widow-with-mould': {
    about: { title: 'Widow with Mould', sculptor: 'thimble', units: ['mould-widow'], price: 600, looks: 0.85 },
    model: { heightMm: 56, resinMl: 11, options: ['mould', 'veil'], styleTags: ['grim', 'fine detail'] },
    revisions: [{ label: '1.0', ago: 340, supplied: 0.94 }],
  },
  'the-breakage': {
    about: { title: 'The Breakage', sculptor: 'teal', units: ['mould-widow'], price: 550, looks: 0.6 },
    model: { heightMm: 53, resinMl: 12, options: ['mould'], styleTags: ['weathered'] },
    revisions: [{ label: '1.0', ago: 460, supplied: 0.82, own: 0.88 }],
  },
  'raw-clay-giant': {
    about: { title: 'Giant of Raw Clay', sculptor: 'ostervane', units: ['the-unfired'], price: 1900, looks: 0.85 },
    model: { heightMm: 142, resinMl: 190, options: ['separate arms', 'kiln door'], styleTags: ['heroic', 'weathered'] },
    revisions: [{ label: '1', ago: 325, supplied: 0.9 }],
  },
  'it-never-dried': {
    about: { title: 'It Never Dried', sculptor: 'lopsided', units: ['the-unfired'], price: 2800, looks: 0.75 },
    model: { heightMm: 126, resinMl: 165, options: ['separate arms', 'thumb marks'], styleTags: ['comic', 'chunky'] },
    revisions: [{ label: '1.0', ago: 60, supplied: 0.85 }],
    printed: 0,
  },
  'mirror-boys': {
    about: { title: 'Heliograph and Mirror Boys', sculptor: 'herons', units: ['heliograph'], price: 1500, looks: 0.9 },
    model: { heightMm: 74, resinMl: 58, options: ['crew', 'folding mirror'], styleTags: ['fine detail', 'ornate'] },
    revisions: [{ label: '1.0', ago: 155, supplied: 0.93 }],
  },
  'dancers-on-shards': {
    about: { title: 'Dancers on Shards', sculptor: 'grebe', units: ['shard-dancers'], price: 1100, looks: 0.9 },
    model: { heightMm: 57, resinMl: 10, options: ['veils', 'blades'], styleTags: ['fine detail'] },
    revisions: [{ label: '1.0', ago: 190, supplied: 0.89, own: 0.92 }],
  },
  'modular-cinder-barge': {
    about: { title: 'Cinder Barge, in Sections', sculptor: 'teal', units: ['cinder-barge'], price: 3200, looks: 0.8 },
    model: { heightMm: 104, resinMl: 230, options: ['crew', 'funnel', 'sand runners'], styleTags: ['weathered'] },
    revisions: [{ label: '1.0', ago: 270, supplied: 0.83 }],
  },
  'quench-crew': {
    about: { title: 'Quench Crew', sculptor: 'grebe', units: ['quenchers'], price: 1000, looks: 0.8 },
    model: { heightMm: 54, resinMl: 12, options: ['buckets', 'carboys'], styleTags: ['grim', 'fine detail'] },
    revisions: [{ label: '1.0', ago: 305, supplied: 0.93 }],
  },
  'bucket-line': {
    about: { title: 'Bucket Line', sculptor: 'anvil', units: ['quenchers'], looks: 0.65 },
    model: { heightMm: 51, resinMl: 12.5, options: ['buckets'], styleTags: ['folk', 'chunky'] },
    revisions: [{ label: 'A', ago: 45, supplied: 0.86 }],
    printed: 0,
  },
} as const satisfies Record<string, DemoFile>
