import { requirePercent } from '../quantities/plausible.js';
import type { CoolantBase } from './coolant.js';
import { endOfFreezingTable, mixtureByMass, mixtureByVolume } from './freezing-table.js';

// g/mol.
const WATER_MOLAR_MASS = 18.015268;
const GLYCOL_MOLAR_MASS: Record<CoolantBase, number> = {
  'ethylene-glycol': 62.06784,
  'propylene-glycol': 76.09442,
};

/**
 * Density of the glycol over that of water, as the table's end implies it. The formula
 * v = w/(w + (1 − w)·r) then joins the table at its end and is 100 % for neat glycol.
 */
function densityRatioBeyondTable(base: CoolantBase): number {
  const { massPercent, volumePercent } = endOfFreezingTable(base);
  return (massPercent / volumePercent) * ((100 - volumePercent) / (100 - massPercent));
}

/**
 * Volume % from mass %: the one conversion for a coolant.
 *
 * Source: the columns of the freezing table (ASHRAE Handbook Fundamentals 2001) where it reaches.
 * Beyond it v = w/(w + (1 − w)·r), conservation of mass, with the density ratio r of the table's
 * end: 1.0952 for ethylene glycol, 1 for propylene glycol (own derivation).
 *
 * @param massPercent 0 to 100
 * @returns volume %, 0 to 100
 * @throws ImpossibleValue outside 0 to 100.
 * @example volumePercentFromMass('ethylene-glycol', 50) // 47.6
 */
export function volumePercentFromMass(base: CoolantBase, massPercent: number): number {
  const share = requirePercent('massPercent', massPercent) / 100;
  const mixture = mixtureByMass(base, massPercent);
  return mixture?.volumePercent ?? (100 * share) / (share + (1 - share) * densityRatioBeyondTable(base));
}

/**
 * Mass % from volume %: the other way round.
 *
 * @param volumePercent 0 to 100
 * @returns mass %, 0 to 100
 * @throws ImpossibleValue outside 0 to 100.
 * @example massPercentFromVolume('ethylene-glycol', 50) // 52.4
 */
export function massPercentFromVolume(base: CoolantBase, volumePercent: number): number {
  const share = requirePercent('volumePercent', volumePercent) / 100;
  const mixture = mixtureByVolume(base, volumePercent);
  const glycol = share * densityRatioBeyondTable(base);
  return mixture?.massPercent ?? (100 * glycol) / (glycol + 1 - share);
}

/**
 * Water's share of the molecules in a mixture, which by Raoult's law is its share of pure water's
 * vapour pressure.
 *
 * @param massPercent glycol by mass, 0 to 100
 * @returns 0 to 1
 * @throws ImpossibleValue outside 0 to 100.
 * @example waterMoleFraction('ethylene-glycol', 50) // 0.77506
 */
export function waterMoleFraction(base: CoolantBase, massPercent: number): number {
  const share = requirePercent('massPercent', massPercent) / 100;
  const water = (1 - share) / WATER_MOLAR_MASS;
  return water / (water + share / GLYCOL_MOLAR_MASS[base]);
}
