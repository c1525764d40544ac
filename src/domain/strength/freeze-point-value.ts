import { baseTerm, type CoolantBase } from '../coolant/coolant.js';
import {
  endOfFreezingTable,
  FREEZING_TABLE,
  mixtureByFreezePoint,
  mixtureByMass,
  mixtureByVolume,
  type TableReading,
} from '../coolant/freezing-table.js';
import { indexFromBrix, massPercentBeyondTable, massPercentFromIndex } from '../coolant/refraction.js';
import { message } from '../coolant/messages.js';
import { massPercentFromVolume, volumePercentFromMass } from '../coolant/strength-conversion.js';
import type { Message } from '../message.js';
import { requireFinite, requirePercent } from '../quantities/plausible.js';
import type { Unit } from '../quantities/units.js';

/**
 * How a strength was read. The first three methods give a temperature, the others nD or Brix at 20
 * °C, or volume %.
 */
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

/** How strong a coolant is, both ways of counting. */
export type Strength = Pick<TableReading, 'volumePercent' | 'massPercent'>;

/** What a reading says by the tables. */
export interface StrengthReading {
  /** Null where no table turns this reading into a mixture. */
  mixture: TableReading | null;
  /** Beyond the table's end: `mixture` is that end, and the coolant is stronger than it. */
  beyondTable: boolean;
  /** The strength itself. Null where only "stronger than the table's end" is known, or nothing. */
  strength: Strength | null;
  /** Null where the freeze point is not known at all; beyond the table's end "at least" this. */
  freezePointC: number | null;
  /** The name of the freezing table; null where none was read. */
  table: string | null;
  /** The tables that were read, for the basis. */
  tables: Message[];
}

/**
 * Turns what an instrument shows into a mixture. Beyond the table's end no freeze point is
 * extrapolated: the end is given and `beyondTable` is set. A *temperature* colder than the end is
 * at least the end's. A *strength* beyond it is known, but its freeze point is not: the curve
 * turns back up.
 *
 * @param value °C, nD, Brix or volume %, as the method tells
 * @throws ImpossibleValue for a value that no coolant has.
 * @example readStrength('ethylene-glycol', 'refractometer', -30).mixture.volumePercent // 44.65
 */
export function readStrength(base: CoolantBase, method: FreezePointMethod, value: number): StrengthReading {
  requireFinite('value', value);
  const freezing = message('basis-freezing-table', { base: baseTerm(base) });
  if (method === 'volume-percent') {
    const mixture = mixtureByVolume(base, requirePercent('value', value));
    if (mixture !== null) return within(mixture, [freezing]);
    return beyond(base, { volumePercent: value, massPercent: massPercentFromVolume(base, value) }, [
      freezing,
    ]);
  }
  if (method === 'refractive-index' || method === 'brix') {
    if (base !== 'ethylene-glycol')
      return {
        mixture: null,
        beyondTable: false,
        strength: null,
        freezePointC: null,
        table: null,
        tables: [],
      };
    const tables = [message('basis-refraction-table'), freezing];
    const index = method === 'brix' ? indexFromBrix(value) : value;
    const massPercent = massPercentFromIndex(index) ?? massPercentBeyondTable(index);
    const mixture = mixtureByMass(base, massPercent);
    if (mixture !== null) return within(mixture, tables);
    return beyond(base, { volumePercent: volumePercentFromMass(base, massPercent), massPercent }, tables);
  }
  const mixture = mixtureByFreezePoint(base, value);
  return mixture === null ? beyond(base, null, [freezing]) : within(mixture, [freezing]);
}

function within(mixture: TableReading, tables: Message[]): StrengthReading {
  const { freezePointC, volumePercent, massPercent } = mixture;
  return {
    mixture,
    beyondTable: false,
    strength: { volumePercent, massPercent },
    freezePointC,
    table: FREEZING_TABLE,
    tables,
  };
}

function beyond(base: CoolantBase, strength: Strength | null, tables: Message[]): StrengthReading {
  const mixture = endOfFreezingTable(base);
  const freezePointC = strength === null ? mixture.freezePointC : null;
  return { mixture, beyondTable: true, strength, freezePointC, table: FREEZING_TABLE, tables };
}
