import { ImpossibleValue } from '../impossible-value.js';
import { message } from './messages.js';

/**
 * Units of measurement and their conversion.
 *
 * Source of the factors: NIST Special Publication 811 (2008), appendix B; each is derived here from
 * exact definitions (1 in = 0.0254 m, 1 lb = 0.45359237 kg, g_n = 9.80665 m/s², 1 US gallon = 231
 * in³, conventional mercury 13 595.1 kg/m³), so that no rounded factor is copied.
 */
const METRE_PER_INCH = 0.0254;
const KILOGRAM_PER_POUND = 0.45359237;
/** g_n, m/s². */
export const STANDARD_GRAVITY = 9.80665;
const CONVENTIONAL_MERCURY_DENSITY = 13595.1;
const NEWTON_PER_POUND_FORCE = KILOGRAM_PER_POUND * STANDARD_GRAVITY;
const LITRE_PER_GALLON = 231 * METRE_PER_INCH ** 3 * 1000;

/** 0 °C as an absolute temperature, K. */
export const ICE_POINT_K = 273.15;

export type Dimension =
  | 'length'
  | 'time-in-use'
  | 'pressure'
  | 'temperature'
  | 'volume'
  | 'torque'
  | 'force'
  | 'ratio'
  | 'refractive-index'
  | 'brix';

interface UnitDefinition {
  dimension: Dimension;
  /** How many SI base units one of this unit is. */
  factor: number;
  /** Added to the value before multiplying (temperatures only). */
  offset?: number;
}

const DEFINITIONS = {
  mm: { dimension: 'length', factor: 0.001 },
  in: { dimension: 'length', factor: METRE_PER_INCH },
  ft: { dimension: 'length', factor: 12 * METRE_PER_INCH },
  m: { dimension: 'length', factor: 1 },
  km: { dimension: 'length', factor: 1000 },
  mi: { dimension: 'length', factor: 63360 * METRE_PER_INCH },
  h: { dimension: 'time-in-use', factor: 1 },
  Pa: { dimension: 'pressure', factor: 1 },
  mbar: { dimension: 'pressure', factor: 100 },
  kPa: { dimension: 'pressure', factor: 1000 },
  bar: { dimension: 'pressure', factor: 100_000 },
  psi: { dimension: 'pressure', factor: NEWTON_PER_POUND_FORCE / METRE_PER_INCH ** 2 },
  inHg: { dimension: 'pressure', factor: METRE_PER_INCH * CONVENTIONAL_MERCURY_DENSITY * STANDARD_GRAVITY },
  C: { dimension: 'temperature', factor: 1 },
  F: { dimension: 'temperature', factor: 1 / 1.8, offset: -32 },
  mL: { dimension: 'volume', factor: 0.001 },
  L: { dimension: 'volume', factor: 1 },
  'fl.oz': { dimension: 'volume', factor: LITRE_PER_GALLON / 128 },
  pt: { dimension: 'volume', factor: LITRE_PER_GALLON / 8 },
  qt: { dimension: 'volume', factor: LITRE_PER_GALLON / 4 },
  gal: { dimension: 'volume', factor: LITRE_PER_GALLON },
  'N.m': { dimension: 'torque', factor: 1 },
  'ft.lbf': { dimension: 'torque', factor: NEWTON_PER_POUND_FORCE * 12 * METRE_PER_INCH },
  'in.lbf': { dimension: 'torque', factor: NEWTON_PER_POUND_FORCE * METRE_PER_INCH },
  'kgf.m': { dimension: 'torque', factor: STANDARD_GRAVITY },
  N: { dimension: 'force', factor: 1 },
  lbf: { dimension: 'force', factor: NEWTON_PER_POUND_FORCE },
  kgf: { dimension: 'force', factor: STANDARD_GRAVITY },
  '%': { dimension: 'ratio', factor: 1 },
  nD: { dimension: 'refractive-index', factor: 1 },
  Brix: { dimension: 'brix', factor: 1 },
} as const satisfies Record<string, UnitDefinition>;

/** A unit symbol as it is written in the API. */
export type Unit = keyof typeof DEFINITIONS;

/** A value with its unit, as it is written in the API. */
export interface Quantity {
  value: number;
  unit: Unit;
}

export const UNITS = Object.keys(DEFINITIONS) as Unit[];

export function isUnit(candidate: unknown): candidate is Unit {
  return typeof candidate === 'string' && Object.hasOwn(DEFINITIONS, candidate);
}

export function dimensionOf(unit: Unit): Dimension {
  return DEFINITIONS[unit].dimension;
}

/** The units of a dimension, in the order in which an error names them. */
export function unitsOf(dimension: Dimension): Unit[] {
  return UNITS.filter((unit) => DEFINITIONS[unit].dimension === dimension);
}

/**
 * Converts a value between two units of the same dimension.
 *
 * Temperatures are points on a scale: the offset counts. A temperature difference must not be
 * passed through here.
 *
 * @throws ImpossibleValue when the units measure different things.
 * @example convert(20, 'ft.lbf', 'N.m') // 27.11635897
 */
export function convert(value: number, from: Unit, to: Unit): number {
  if (from === to) return value;
  const source: UnitDefinition = DEFINITIONS[from];
  const target: UnitDefinition = DEFINITIONS[to];
  if (source.dimension !== target.dimension) {
    throw new ImpossibleValue({
      field: 'unit',
      value: from,
      limit: { oneOf: unitsOf(target.dimension) },
      detail: message('unit-of-another-dimension', {
        unit: from,
        dimension: message(`dimension-${source.dimension}`),
        wantedUnit: to,
        wantedDimension: message(`dimension-${target.dimension}`),
      }),
    });
  }
  return ((value + (source.offset ?? 0)) * source.factor) / target.factor - (target.offset ?? 0);
}

/**
 * The value of a quantity in another unit of its dimension. @throws ImpossibleValue when the
 * dimensions differ.
 */
export function valueIn(quantity: Quantity, unit: Unit): number {
  return convert(quantity.value, quantity.unit, unit);
}
