import type { DemoFile } from './described.ts'

/** Stand-ins for units of the Ebb Years. */
export const ebbYearsFiles = {
  // The showcase: seven ways to field Fen Wardens, no two alike in price, looks and printing.
  'reed-sentries': {
    about: { title: 'Reed Sentries', sculptor: 'wick', units: ['fen-wardens'], price: 800, looks: 0.92 },
    model: { heightMm: 46, resinMl: 8.5, options: ['bows', 'spears', 'banner'], styleTags: ['folk', 'weathered'] },
    revisions: [
      { label: '1.0', ago: 520, supplied: 0.5, extra: 0.8 },
      { label: '2.0', ago: 170, supplied: 0.96 },
    ],
    printed: 4,
  },
  'watch-on-the-dyke': {
    about: { title: 'Watch on the Dyke', sculptor: 'herons', units: ['fen-wardens'], looks: 0.88 },
    model: { heightMm: 48, resinMl: 9.2, options: ['bows', 'banner', 'hound'], styleTags: ['fine detail', 'folk'] },
    revisions: [{ label: '1.0', ago: 330, supplied: 0.96 }],
    printed: 3,
    heldBy: ['ottoline', 'pascoe', 'casimir', 'tobiah', 'jorun'],
  },
  'bog-bows': {
    about: { title: 'Bog Bows', sculptor: 'mudd', units: ['fen-wardens'], looks: 0.12 },
    model: { heightMm: 44, resinMl: 7.8, options: ['bows'], styleTags: ['chunky'] },
    revisions: [{ label: '2', ago: 610, supplied: 0.62, own: 0.9 }],
    printed: 2,
  },
  'sedge-walkers': {
    about: { title: 'Sedge Walkers', sculptor: 'oddment', units: ['fen-wardens'], price: 600, looks: 0.6 },
    model: { heightMm: 45, resinMl: 8.1, options: ['bows', 'spears'], styleTags: ['ragged'] },
    revisions: [{ label: '1.1', ago: 300, supplied: 0.64, extra: 0.84 }],
    printed: 2,
  },
  'fen-pickets': {
    about: { title: 'Fen Pickets', sculptor: 'teal', units: ['fen-wardens'], price: 900, looks: 0.8 },
    model: { heightMm: 47, resinMl: 8.8, options: ['spears', 'banner', 'horn'], styleTags: ['weathered', 'grim'] },
    revisions: [{ label: '1.0', ago: 560, supplied: 0.92 }],
    printed: 3,
    heldBy: ['maren', 'jorun', 'casimir'],
  },
  'quiet-wardens': {
    about: { title: 'Quiet Wardens', sculptor: 'grebe', units: ['fen-wardens'], price: 1150, looks: 0.9 },
    model: { heightMm: 47, resinMl: 9, options: ['bows', 'banner', 'cloaks'], styleTags: ['fine detail', 'grim'] },
    revisions: [{ label: '1.0', ago: 390, supplied: 0.94, own: 0.93 }],
    printed: 3,
  },
  'rushlight-patrol': {
    about: {
      title: 'Rushlight Patrol',
      sculptor: 'thimble',
      units: ['fen-wardens', 'lantern-drovers'],
      price: 850,
      looks: 0.75,
    },
    model: { heightMm: 49, resinMl: 9.6, options: ['lanterns', 'spears', 'horn'], styleTags: ['folk', 'ornate'] },
    revisions: [{ label: '1.0', ago: 440, supplied: 0.93 }],
    printed: 2,
  },

  'drovers-by-lamplight': {
    about: { title: 'Drovers by Lamplight', sculptor: 'kettle', units: ['lantern-drovers'], price: 1100, looks: 0.8 },
    model: { heightMm: 47, resinMl: 9.9, options: ['lanterns', 'dogs', 'handcart'], styleTags: ['chunky', 'folk'] },
    revisions: [{ label: '1.0', ago: 480, supplied: 0.88, extra: 0.93 }],
  },
  'lamp-and-crook': {
    about: { title: 'Lamp and Crook', sculptor: 'verrowick', units: ['lantern-drovers'], price: 1000, looks: 0.7 },
    model: { heightMm: 50, resinMl: 9.1, options: ['lanterns'], styleTags: ['fine detail', 'true scale'] },
    revisions: [{ label: '1', ago: 350, supplied: 0.87 }],
  },

  'eel-spears-complete': {
    about: { title: 'Eel Spears, Complete', sculptor: 'wick', units: ['eel-spear-levy'], price: 1200, looks: 0.85 },
    model: { heightMm: 48, resinMl: 7.9, options: ['spears', 'nets', 'banner', 'drum'], styleTags: ['folk', 'ragged'] },
    revisions: [{ label: '1.0', ago: 405, supplied: 0.91, extra: 0.95 }],
    printed: 3,
  },
  'pressed-hundred': {
    about: { title: 'The Pressed Hundred', sculptor: 'oddment', units: ['eel-spear-levy'], price: 700, looks: 0.5 },
    model: { heightMm: 45, resinMl: 7.1, options: ['spears', 'clubs'], styleTags: ['ragged'] },
    revisions: [
      { label: '1.0', ago: 540, supplied: 0.55 },
      { label: '1.2', ago: 130, supplied: 0.86 },
    ],
    printed: 2,
  },
  'levy-of-the-low-farms': {
    about: { title: 'Levy of the Low Farms', sculptor: 'anvil', units: ['eel-spear-levy'], price: 1100, looks: 0.7 },
    model: { heightMm: 46, resinMl: 8.3, options: ['spears', 'pitchforks', 'banner'], styleTags: ['folk', 'chunky'] },
    revisions: [{ label: 'A', ago: 445, supplied: 0.86 }],
  },

  'mudlark-urchins': {
    about: { title: 'Mudlark Urchins', sculptor: 'mudd', units: ['mudlark-slingers'], looks: 0.65 },
    model: { heightMm: 38, resinMl: 6.4, options: ['slings'], styleTags: ['comic', 'ragged'] },
    revisions: [{ label: '1', ago: 455, supplied: 0.74 }],
    printed: 2,
  },
  'slingers-in-the-silt': {
    about: {
      title: 'Slingers in the Silt',
      sculptor: 'lopsided',
      units: ['mudlark-slingers'],
      price: 1300,
      looks: 0.8,
    },
    model: { heightMm: 43, resinMl: 7.2, options: ['slings', 'baskets'], styleTags: ['ragged', 'fine detail'] },
    revisions: [
      { label: '1.0', ago: 430, supplied: 0.7 },
      { label: '1.1', ago: 215, supplied: 0.9 },
    ],
  },

  'stilt-cavalry': {
    about: { title: 'Stilt Cavalry', sculptor: 'herons', units: ['heron-riders'], price: 1400, looks: 0.95 },
    model: { heightMm: 78, resinMl: 27, options: ['lances', 'horn', 'banner'], styleTags: ['fine detail', 'ornate'] },
    revisions: [{ label: '1.0', ago: 360, supplied: 0.9 }],
    printed: 2,
  },
  'riders-of-the-long-leg': {
    about: {
      title: 'Riders of the Long Leg',
      sculptor: 'ostervane',
      units: ['heron-riders'],
      price: 1450,
      looks: 0.75,
    },
    model: { heightMm: 74, resinMl: 31, options: ['lances', 'bows'], styleTags: ['heroic'] },
    revisions: [{ label: '3', ago: 250, supplied: 0.93 }],
    printed: 2,
  },
  'grey-leg-riders': {
    about: { title: 'Grey-Leg Riders', sculptor: 'teal', units: ['heron-riders'], price: 1100, looks: 0.7 },
    model: { heightMm: 70, resinMl: 24, options: ['lances'], styleTags: ['grim', 'weathered'] },
    revisions: [
      { label: '1.0', ago: 500, supplied: 0.58, own: 0.85 },
      { label: '2.0', ago: 95, supplied: 0.91 },
    ],
    printed: 2,
  },
  'wading-knights': {
    about: { title: 'Wading Knights', sculptor: 'kettle', units: ['heron-riders'], price: 900, looks: 0.3 },
    model: {
      ...{ heightMm: 62, resinMl: 22, options: ['lances', 'swords'], styleTags: ['chunky', 'comic'] },
      ...{ base: ['round', 40], remark: 'They ride something closer to a goose.' },
    },
    revisions: [{ label: '1.0', ago: 470, supplied: 0.9 }],
  },

  'tallow-mother-enthroned': {
    about: {
      title: 'Tallow Mother, Enthroned',
      sculptor: 'verrowick',
      units: ['tallow-mother'],
      price: 800,
      looks: 0.85,
    },
    model: { heightMm: 64, resinMl: 19, options: ['candle crown', 'throne'], styleTags: ['ornate', 'grim'] },
    revisions: [{ label: '1', ago: 420, supplied: 0.85, own: 0.9 }],
  },
  'the-candle-widow': {
    about: { title: 'The Candle Widow', sculptor: 'grebe', units: ['tallow-mother'], price: 700, looks: 0.75 },
    model: { heightMm: 58, resinMl: 13, options: ['candle crown'], styleTags: ['fine detail'] },
    revisions: [{ label: '1.0', ago: 280, supplied: 0.93 }],
  },
  'he-who-poles': {
    about: { title: 'He Who Poles', sculptor: 'wick', units: ['ferryman'], price: 600, looks: 0.9 },
    model: { heightMm: 60, resinMl: 11, options: ['lantern', 'pole'], styleTags: ['grim', 'weathered'] },
    revisions: [{ label: '1.0', ago: 375, supplied: 0.9 }],
  },
  'toll-for-two': {
    about: { title: 'Toll for Two', sculptor: 'lopsided', units: ['ferryman'], price: 900, looks: 0.7 },
    model: { heightMm: 55, resinMl: 12, options: ['pole', 'passenger'], styleTags: ['comic'], base: ['oval', 35, 60] },
    revisions: [{ label: '1.0', ago: 240, supplied: 0.86 }],
  },

  'sluicegate-giant': {
    about: {
      title: 'The Giant at the Sluice',
      sculptor: 'anvil',
      units: ['sluicegate-giant'],
      price: 1500,
      looks: 0.8,
    },
    model: { heightMm: 118, resinMl: 96, options: ['gate shield', 'chain'], styleTags: ['chunky', 'weathered'] },
    revisions: [{ label: 'B', ago: 410, supplied: 0.86, extra: 0.92 }],
    printed: 2,
  },
  'lock-keepers-folly': {
    about: { title: "Lock-Keeper's Folly", sculptor: 'thimble', units: ['sluicegate-giant'], price: 1300, looks: 0.9 },
    model: { heightMm: 112, resinMl: 84, options: ['gate shield', 'bell'], styleTags: ['ornate', 'fine detail'] },
    revisions: [{ label: '1.0', ago: 320, supplied: 0.93 }],
    printed: 2,
  },
  'gate-that-walks': {
    about: { title: 'The Gate That Walks', sculptor: 'oddment', units: ['sluicegate-giant'], price: 900, looks: 0.55 },
    model: { heightMm: 105, resinMl: 120, options: ['chain'], styleTags: ['ragged', 'heroic'], scaleMm: 32 },
    revisions: [
      { label: '1.0', ago: 490, supplied: 0.5 },
      { label: '2.0', ago: 200, supplied: 0.82, extra: 0.9 },
    ],
  },
  'old-lamprey': {
    about: { title: 'Old Lamprey', sculptor: 'mudd', units: ['sump-lamprey'], looks: 0.7 },
    model: { heightMm: 82, resinMl: 110, options: ['open maw'], styleTags: ['chunky'] },
    revisions: [{ label: '1', ago: 120, supplied: 0.4 }],
    printed: 200,
    heldBy: ['wendel'],
  },
  'sow-of-the-sump': {
    about: { title: 'Sow of the Sump', sculptor: 'ostervane', units: ['sump-lamprey'], price: 1800, looks: 0.85 },
    model: { heightMm: 90, resinMl: 135, options: ['open maw', 'brood'], styleTags: ['heroic', 'fine detail'] },
    revisions: [{ label: '1', ago: 345, supplied: 0.9 }],
  },

  'punt-with-mortar': {
    about: { title: 'Punt with Mortar and Crew', sculptor: 'kettle', units: ['punt-mortar'], price: 1300, looks: 0.85 },
    model: { heightMm: 68, resinMl: 74, options: ['crew', 'mortar', 'awning'], styleTags: ['chunky', 'weathered'] },
    revisions: [{ label: '1.0', ago: 425, supplied: 0.87 }],
  },
  'flatboat-battery': {
    about: { title: 'Flatboat Battery', sculptor: 'anvil', units: ['punt-mortar'], price: 1200, looks: 0.7 },
    model: { heightMm: 60, resinMl: 81, options: ['mortar', 'crew'], styleTags: ['true scale'], base: null },
    revisions: [{ label: 'A', ago: 290, supplied: 0.85, own: 0.88 }],
  },
  'bailiffs-of-the-pan': {
    about: { title: 'Bailiffs of the Pan', sculptor: 'herons', units: ['saltpan-bailiffs'], price: 1000, looks: 0.9 },
    model: { heightMm: 49, resinMl: 10.5, options: ['ledgers', 'salt hammers'], styleTags: ['fine detail', 'ornate'] },
    revisions: [{ label: '1.0', ago: 395, supplied: 0.95 }],
  },
  'debt-men': {
    about: { title: 'Debt Men', sculptor: 'verrowick', units: ['saltpan-bailiffs'], price: 700, looks: 0.6 },
    model: { heightMm: 48, resinMl: 9.4, options: ['salt hammers'], styleTags: ['grim'], base: ['round', 25] },
    revisions: [{ label: '1', ago: 530, supplied: 0.84 }],
  },
  'clerks-of-the-low-ledger': {
    about: { title: 'Clerks of the Low Ledger', sculptor: 'thimble', units: ['tide-clerks'], price: 650, looks: 0.85 },
    model: { heightMm: 46, resinMl: 8.2, options: ['ledgers', 'quills'], styleTags: ['comic', 'fine detail'] },
    revisions: [{ label: '1.0', ago: 260, supplied: 0.94 }],
  },
  'three-sodden-clerks': {
    about: { title: 'Three Sodden Clerks', sculptor: 'lopsided', units: ['tide-clerks'], looks: 0.7 },
    model: { heightMm: 44, resinMl: 7.6, options: ['ledgers'], styleTags: ['comic', 'ragged'] },
    revisions: [{ label: '1.0', ago: 385, supplied: 0.85 }],
  },
  'house-on-the-march': {
    about: { title: 'House on the March', sculptor: 'ostervane', units: ['marching-croft'], price: 2600, looks: 0.9 },
    model: { heightMm: 150, resinMl: 245, options: ['chimney', 'rope ladder'], styleTags: ['heroic', 'ornate'] },
    revisions: [{ label: '2', ago: 365, supplied: 0.89 }],
  },
  'walking-croft': {
    about: { title: 'Walking Croft', sculptor: 'anvil', units: ['marching-croft'], price: 2000, looks: 0.65 },
    model: {
      heightMm: 132,
      resinMl: 210,
      options: ['chimney'],
      styleTags: ['chunky', 'folk'],
      base: ['oval', 90, 120],
    },
    revisions: [{ label: 'A', ago: 310, supplied: 0.84, extra: 0.9 }],
  },
} as const satisfies Record<string, DemoFile>
