import type { Values } from '../../../../web/parts/form.tsx'
import { valuesFrom } from '../../../http/page.tsx'

/**
 * What most machines at home are set to, by the size of their plate: to begin from, since a form is easier to correct
 * than to fill. Round numbers of no maker's (common practice, no source).
 */
const sizes = {
  small: { plateWidthMm: 130, plateDepthMm: 80, buildHeightMm: 160, exposureS: 2.5, cycleOverheadS: 7 },
  middle: { plateWidthMm: 200, plateDepthMm: 120, buildHeightMm: 200, exposureS: 2.5, cycleOverheadS: 8 },
  large: { plateWidthMm: 300, plateDepthMm: 160, buildHeightMm: 300, exposureS: 3, cycleOverheadS: 10 },
} as const

export type Size = keyof typeof sizes

export const sizeNames = Object.keys(sizes) as [Size, ...Size[]]

/** The same for all of them. */
const layers = { layerUm: 50, bottomLayers: 5, bottomExposureS: 30 }

/** The values of a new printer's form; without a size, those that hardly depend on it. */
export function usualSettings(size: Size | undefined): Values {
  const { plateWidthMm, plateDepthMm, buildHeightMm, ...times } = sizes[size ?? 'small']
  const plate = size && { plateWidthMm, plateDepthMm, buildHeightMm }
  return valuesFrom({ ...layers, ...times, ...plate })
}

/** The sizes as links that fill the form; a report that waits for the printer is kept in mind. */
export function sizeLinks(chosen: Size | undefined, reportOf: string | undefined) {
  const rest = reportOf === undefined ? '' : `&reportOf=${reportOf}`
  return sizeNames.map((size) => ({
    words: `${size} plate, ${sizes[size].plateWidthMm} × ${sizes[size].plateDepthMm} mm`,
    href: `/printers/new?size=${size}${rest}`,
    isChosen: size === chosen,
  }))
}
