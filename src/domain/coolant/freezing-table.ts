import { ImpossibleValue } from '../impossible-value.js';
import { requireFinite, requirePercent } from '../quantities/plausible.js';
import type { CoolantBase } from './coolant.js';
import { ETHYLENE_GLYCOL_FREEZING } from './ethylene-glycol-freezing.js';
import { interpolate } from './interpolation.js';
import { message } from './messages.js';
import { PROPYLENE_GLYCOL_FREEZING } from './propylene-glycol-freezing.js';

const TABLES = { 'ethylene-glycol': ETHYLENE_GLYCOL_FREEZING, 'propylene-glycol': PROPYLENE_GLYCOL_FREEZING };

/** One mixture by the table: what it freezes at and how strong it is, both ways of counting. */
export interface TableReading {
  freezePointC: number;
  volumePercent: number;
  massPercent: number;
}

/**
 * Which table it is. Every answer names it, because published tables for the same mixture disagree
 * by up to 3 K; the basis names it in full.
 */
export const FREEZING_TABLE = 'ASHRAE-2001';

/**
 * The strongest mixture in the table: -48.3 °C, 57.8 volume % for ethylene glycol; -51.1 °C, 60 %
 * for propylene glycol.
 */
export function endOfFreezingTable(base: CoolantBase): TableReading {
  const [massPercent, volumePercent, freezePointC] = TABLES[base].at(-1)!;
  return { massPercent, volumePercent, freezePointC };
}

/**
 * The mixture of a given strength by volume.
 *
 * Source: ASHRAE Handbook Fundamentals 2001, by its volume column.
 *
 * @param volumePercent 0 to 100
 * @returns null beyond the table's end, where laboratories no longer agree and the curve turns back
 * up
 * @throws ImpossibleValue outside 0 to 100.
 * @example mixtureByVolume('ethylene-glycol', 50) // { freezePointC: -37, volumePercent: 50, massPercent: 52.4 }
 */
export function mixtureByVolume(base: CoolantBase, volumePercent: number): TableReading | null {
  requirePercent('volumePercent', volumePercent);
  const rows = TABLES[base];
  const freezePointC = interpolate(
    rows.map(([, volume, freeze]) => [volume, freeze] as const),
    volumePercent,
  );
  const massPercent = interpolate(
    rows.map(([mass, volume]) => [volume, mass] as const),
    volumePercent,
  );
  return freezePointC === null || massPercent === null ? null : { freezePointC, volumePercent, massPercent };
}

/**
 * The mixture of a given strength by mass.
 *
 * @param massPercent 0 to 100
 * @returns null beyond the table's end
 * @throws ImpossibleValue outside 0 to 100.
 * @example mixtureByMass('ethylene-glycol', 40) // { freezePointC: -22.3, volumePercent: 37.5, massPercent: 40 }
 */
export function mixtureByMass(base: CoolantBase, massPercent: number): TableReading | null {
  requirePercent('massPercent', massPercent);
  const rows = TABLES[base];
  const freezePointC = interpolate(
    rows.map(([mass, , freeze]) => [mass, freeze] as const),
    massPercent,
  );
  const volumePercent = interpolate(
    rows.map(([mass, volume]) => [mass, volume] as const),
    massPercent,
  );
  return freezePointC === null || volumePercent === null
    ? null
    : { freezePointC, volumePercent, massPercent };
}

/**
 * The mixture that freezes at a given temperature, on the weak side of the curve.
 *
 * @param freezePointC °C; above 0 and up to 5 is an instrument's error on plain water and read as 0
 * @returns null colder than the table's end
 * @throws ImpossibleValue above 5 °C or below -75 °C: no such mixture.
 * @example mixtureByFreezePoint('ethylene-glycol', -30).volumePercent // 44.65
 */
export function mixtureByFreezePoint(base: CoolantBase, freezePointC: number): TableReading | null {
  requireFinite('freeze point', freezePointC);
  if (freezePointC > 5) {
    throw new ImpossibleValue({
      field: 'freeze point',
      value: { value: freezePointC, unit: 'C' },
      limit: { max: { value: 0, unit: 'C' } },
      meant: { value: -freezePointC, unit: 'C' },
      detail: message('freeze-point-warmer-than-water', { value: freezePointC, negative: -freezePointC }),
    });
  }
  if (freezePointC < -75) {
    throw new ImpossibleValue({
      field: 'freeze point',
      value: { value: freezePointC, unit: 'C' },
      limit: { min: { value: -75, unit: 'C' } },
      meant: { value: freezePointC, unit: 'F' },
      detail: message('freeze-point-colder-than-any', { value: freezePointC }),
    });
  }
  const shownC = Math.min(freezePointC, 0);
  const rows = TABLES[base];
  const volumePercent = interpolate(
    rows.map(([, volume, freeze]) => [freeze, volume] as const),
    shownC,
  );
  const massPercent = interpolate(
    rows.map(([mass, , freeze]) => [freeze, mass] as const),
    shownC,
  );
  return volumePercent === null || massPercent === null
    ? null
    : { freezePointC: shownC, volumePercent, massPercent };
}
