import { requirePercent } from '../checks/plausible.js';
import type { CoolantBase } from './coolant.js';

// kg/m³ at 20 °C, CRC Handbook of Chemistry and Physics.
const WATER_DENSITY = 998.207;
const GLYCOL_DENSITY: Record<CoolantBase, number> = { 'ethylene-glycol': 1113.5, 'propylene-glycol': 1036.3 };

// g/mol.
const WATER_MOLAR_MASS = 18.015268;
const GLYCOL_MOLAR_MASS: Record<CoolantBase, number> = {
  'ethylene-glycol': 62.06784,
  'propylene-glycol': 76.09442,
};

/**
 * Volume % as a jug measures it (glycol's share of the volumes before mixing, 20 °C) from mass %.
 *
 * The freezing tables carry a volume column of their own, up to 0.5 % off this: they are read by that column, and this conversion
 * serves where no table reaches.
 *
 * @param massPercent 0 to 100
 * @returns volume %, 0 to 100
 * @throws ImpossibleValue outside 0 to 100.
 * @example volumePercentFromMass('ethylene-glycol', 50) // 47.27
 */
export function volumePercentFromMass(base: CoolantBase, massPercent: number): number {
  const share = requirePercent('strength by mass', massPercent) / 100;
  const glycolVolume = share / GLYCOL_DENSITY[base];
  return (100 * glycolVolume) / (glycolVolume + (1 - share) / WATER_DENSITY);
}

/**
 * Mass % from volume % before mixing, 20 °C: the other way round.
 *
 * @param volumePercent 0 to 100
 * @returns mass %, 0 to 100
 * @throws ImpossibleValue outside 0 to 100.
 * @example massPercentFromVolume('ethylene-glycol', 50) // 52.73
 */
export function massPercentFromVolume(base: CoolantBase, volumePercent: number): number {
  const share = requirePercent('strength by volume', volumePercent) / 100;
  const glycolMass = share * GLYCOL_DENSITY[base];
  return (100 * glycolMass) / (glycolMass + (1 - share) * WATER_DENSITY);
}

/**
 * Water's share of the molecules in a mixture, which by Raoult's law is its share of pure water's vapour pressure.
 *
 * @param massPercent glycol by mass, 0 to 100
 * @returns 0 to 1
 * @throws ImpossibleValue outside 0 to 100.
 * @example waterMoleFraction('ethylene-glycol', 50) // 0.77506
 */
export function waterMoleFraction(base: CoolantBase, massPercent: number): number {
  const share = requirePercent('strength by mass', massPercent) / 100;
  const water = (1 - share) / WATER_MOLAR_MASS;
  return water / (water + share / GLYCOL_MOLAR_MASS[base]);
}
