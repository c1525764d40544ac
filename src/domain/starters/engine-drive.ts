import type { CoolantTechnology } from '../coolant/coolant.js';
import { every, type HowOften } from './intervals.js';
import { message } from './messages.js';
import type { StarterInterval } from './starter-set.js';

/** An interval under normal and under severe duty. */
export type ByDuty = readonly [normal: HowOften, severe: HowOften];

const HOSES = ['upper-hose', 'lower-hose', 'heater-hose'] as const;

/**
 * Hoses, belt, tensioner, cap and pump, which every engine has.
 *
 * @param look how often they are looked at
 * @param life how often hoses and belt are replaced
 */
export function engineDrive(look: ByDuty, life: ByDuty): StarterInterval[] {
  return [
    ...HOSES.map((hose) => every(hose, 'inspect', ...look, message('starter-why-hose-look'))),
    ...HOSES.map((hose) => every(hose, 'replace', ...life, message('starter-why-hose-life'))),
    every('drive-belt', 'inspect', ...look, message('starter-why-belt-look')),
    every('drive-belt', 'replace', ...life, message('starter-why-belt-life')),
    every('tensioner', 'inspect', ...look, message('starter-why-tensioner-look')),
    every('water-pump', 'inspect', ...look, message('starter-why-pump-look')),
    every('radiator-cap', 'test', { months: 12 }, null, message('starter-why-cap-test')),
  ];
}

/** When coolant of a technology is replaced. */
export function coolantLife(technology: CoolantTechnology, life: ByDuty): StarterInterval {
  const months = life[0].months ?? 0;
  return every('coolant', 'replace', ...life, message('starter-why-coolant-life', { technology, months }));
}

/** A look at the level. */
export const levelLook = (normal: HowOften): StarterInterval =>
  every('coolant', 'inspect', normal, null, message('starter-why-level-look'));

/** The strength, once a year before winter. */
export const strengthTest = (): StarterInterval =>
  every('coolant', 'test', { months: 12 }, { months: 6 }, message('starter-why-strength-test'));

/** Strength, and the additives that protect wet liners. */
export const additiveTest = (test: ByDuty): StarterInterval =>
  every('coolant', 'test', ...test, message('starter-why-additive-test'));

export const radiatorClean = (clean: ByDuty): StarterInterval =>
  every('radiator', 'clean', ...clean, message('starter-why-radiator-clean'));

export const coolantFilter = (replace: ByDuty): StarterInterval =>
  every('coolant-filter', 'replace', ...replace, message('starter-why-coolant-filter'));
