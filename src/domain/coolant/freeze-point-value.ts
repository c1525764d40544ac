import { requireFinite, requirePercent } from '../checks/plausible.js';
import type { Unit } from '../quantities/units.js';
import type { CoolantBase } from './coolant.js';
import {
  endOfFreezingTable,
  freezingTableName,
  mixtureByFreezePoint,
  mixtureByMass,
  mixtureByVolume,
  type TableReading,
} from './freezing-table.js';
import { indexFromBrix, massPercentFromIndex, REFRACTION_TABLE_NAME } from './refraction.js';

/** How a strength was read. The first three tell a temperature, the others nD or Brix at 20 °C, or volume %. */
export type FreezePointMethod =
  'refractometer' | 'hydrometer' | 'test-strip' | 'refractive-index' | 'brix' | 'volume-percent';

/** The canonical unit of each method's value; any unit of the same dimension can be typed. */
export const FREEZE_POINT_UNITS = {
  refractometer: 'C',
  hydrometer: 'C',
  'test-strip': 'C',
  'refractive-index': 'nD',
  brix: 'Brix',
  'volume-percent': '%',
} as const satisfies Record<FreezePointMethod, Unit>;

export const FREEZE_POINT_METHODS = Object.keys(FREEZE_POINT_UNITS) as FreezePointMethod[];

/** What a reading says by the tables. */
export interface StrengthReading {
  /** Null where no table turns this reading into a mixture. */
  mixture: TableReading | null;
  /** Beyond the table's end: `mixture` is that end, and the coolant is stronger than it. */
  beyondTable: boolean;
  /** Null where the freeze point is not known at all; beyond the table's end "at least" this. */
  freezePointC: number | null;
  tables: string[];
}

/**
 * Turns what an instrument shows into a mixture. Beyond the table's end nothing is extrapolated: the end is given and `beyondTable` is set. A *temperature*
 * colder than the end is at least the end's; a *strength* beyond it has no known freeze point, because the curve turns back up.
 *
 * @param value °C, nD, Brix or volume %, as the method tells
 * @throws ImpossibleValue for a value that no coolant has.
 * @example readStrength('ethylene-glycol', 'refractometer', -30).mixture.volumePercent // 44.65
 */
export function readStrength(base: CoolantBase, method: FreezePointMethod, value: number): StrengthReading {
  requireFinite('value', value);
  const table = freezingTableName(base);
  const end = endOfFreezingTable(base);
  const beyond = (freezePointC: number | null, tables: string[]): StrengthReading => ({
    mixture: end,
    beyondTable: true,
    freezePointC,
    tables,
  });
  if (method === 'volume-percent') {
    const mixture = mixtureByVolume(base, requirePercent('value', value));
    return mixture === null ? beyond(null, [table]) : within(mixture, [table]);
  }
  if (method === 'refractive-index' || method === 'brix') {
    if (base !== 'ethylene-glycol')
      return { mixture: null, beyondTable: false, freezePointC: null, tables: [] };
    const tables = [REFRACTION_TABLE_NAME, table];
    const massPercent = massPercentFromIndex(method === 'brix' ? indexFromBrix(value) : value);
    const mixture = massPercent === null ? null : mixtureByMass(base, massPercent);
    return mixture === null ? beyond(null, tables) : within(mixture, tables);
  }
  const mixture = mixtureByFreezePoint(base, value);
  return mixture === null ? beyond(end.freezePointC, [table]) : within(mixture, [table]);
}

function within(mixture: TableReading, tables: string[]): StrengthReading {
  return { mixture, beyondTable: false, freezePointC: mixture.freezePointC, tables };
}
