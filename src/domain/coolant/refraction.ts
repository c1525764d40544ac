import { ImpossibleValue } from '../impossible-value.js';
import { requireFinite } from '../quantities/plausible.js';
import { ETHYLENE_GLYCOL_REFRACTION } from './ethylene-glycol-refraction.js';
import { interpolate } from './interpolation.js';
import { message } from './messages.js';

const WATER_INDEX = 1.333;
const HALF_A_DIGIT = 0.0005;
/** Neat ethylene glycol at 20 °C (from memory of the CRC Handbook of Chemistry and Physics). */
const NEAT_INDEX = 1.4318;

/**
 * Strength of ethylene glycol from its refractive index.
 *
 * Source: CRC Handbook of Chemistry and Physics, 102nd edition, "Concentrative properties of
 * aqueous solutions".
 *
 * @param refractiveIndex nD at 20 °C; a hair below water's 1.3330 is read as water
 * @returns mass %; null above the table's 1.3931 (60 mass %)
 * @throws ImpossibleValue below water's index or above neat glycol's.
 * @example massPercentFromIndex(1.3728) // 40
 */
export function massPercentFromIndex(refractiveIndex: number): number | null {
  requireFinite('refractive index', refractiveIndex);
  if (refractiveIndex < WATER_INDEX - HALF_A_DIGIT || refractiveIndex > 1.44) {
    throw new ImpossibleValue({
      field: 'refractive index',
      value: refractiveIndex,
      limit: { min: 1.333, max: 1.44 },
      meant: { value: refractiveIndex, unit: 'Brix' },
      detail: message('refractive-index-outside', { value: String(refractiveIndex) }),
    });
  }
  const points = ETHYLENE_GLYCOL_REFRACTION.map(([mass, index]) => [index, mass] as const);
  return interpolate(points, Math.max(refractiveIndex, WATER_INDEX));
}

/**
 * Strength of ethylene glycol above the table's last index: a straight line from there to neat
 * glycol, whose slope, 0.00097 for each percent, is that of the table's last rows, 0.00098.
 *
 * @param refractiveIndex nD at 20 °C, above the table's 1.3931; above 1.4318 it is read as neat
 * @returns mass %, 60 to 100
 * @example massPercentBeyondTable(1.43) // 98.1
 */
export function massPercentBeyondTable(refractiveIndex: number): number {
  const [massPercent, last] = ETHYLENE_GLYCOL_REFRACTION.at(-1)!;
  const share = (refractiveIndex - last) / (NEAT_INDEX - last);
  return Math.min(100, massPercent + (100 - massPercent) * share);
}

/**
 * The Brix value that a sugar refractometer shows for a refractive index.
 *
 * Source: fifth-order fit to the refractive index of sucrose solutions at 20 °C in general use,
 * written down from memory and checked against 12.88, 25.26 and 36.47 Brix for 1.3523, 1.3728 and
 * 1.3931 (within 0.03).
 *
 * @param refractiveIndex nD at 20 °C
 * @returns Brix
 * @example brixFromIndex(1.3728) // 25.25
 */
export function brixFromIndex(refractiveIndex: number): number {
  const n = requireFinite('refractive index', refractiveIndex);
  return ((((11758.74 * n - 88885.21) * n + 270177.93) * n - 413145.8) * n + 318417.95) * n - 99127.4536;
}

/**
 * The refractive index behind a Brix value: the fit turned round by bisection.
 *
 * @param brix 0 to 60; neat glycol shows about 57
 * @returns nD at 20 °C
 * @throws ImpossibleValue outside -0.5 to 60.
 * @example indexFromBrix(25.25) // 1.3728
 */
export function indexFromBrix(brix: number): number {
  requireFinite('Brix', brix);
  if (brix < -0.5 || brix > 60) {
    throw new ImpossibleValue({
      field: 'Brix',
      value: brix,
      limit: { min: 0, max: 60 },
      meant: { value: brix, unit: brix < 0 ? 'C' : '%' },
      detail: message('brix-outside', { value: brix }),
    });
  }
  let low = 1.332;
  let high = 1.46;
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2;
    if (brixFromIndex(middle) < brix) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
