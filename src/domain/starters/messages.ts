import { messages } from '../message.js';

export const STARTER_SETS = [
  'petrol-light-truck',
  'diesel-heavy',
  'bus',
  'grader',
  'sweeper',
  'battery-electric',
] as const;
/** A ready-made set, by its code. */
export type StarterSetCode = (typeof STARTER_SETS)[number];

export const message = messages({
  'starter-name-petrol-light-truck': {},
  'starter-name-diesel-heavy': {},
  'starter-name-bus': {},
  'starter-name-grader': {},
  'starter-name-sweeper': {},
  'starter-name-battery-electric': {},
  'starter-purpose-petrol-light-truck': {},
  'starter-purpose-diesel-heavy': {},
  'starter-purpose-bus': {},
  'starter-purpose-grader': {},
  'starter-purpose-sweeper': {},
  'starter-purpose-battery-electric': {},
  // What a value rests on.
  'starter-basis-common-practice': {},
  'starter-basis-within-standard': { standard: 'text' },
  'starter-basis-standard': { standard: 'text' },
  // Why a value of a sheet is as it is.
  'starter-why-base': {},
  'starter-why-technology': {},
  'starter-why-capacity': {},
  'starter-why-target-strength': {},
  'starter-why-strength-max': {},
  'starter-why-cap': {},
  'starter-why-hold-test': {},
  'starter-why-wet-liners': {},
  'starter-why-not-heavy': {},
  'starter-why-low-conductivity': {},
  // Why an interval is as it is.
  'starter-why-level-look': {},
  'starter-why-strength-test': {},
  'starter-why-additive-test': {},
  'starter-why-coolant-life': { technology: 'text', months: 'number' },
  'starter-why-coolant-filter': {},
  'starter-why-belt-look': {},
  'starter-why-belt-life': {},
  'starter-why-tensioner-look': {},
  'starter-why-hose-look': {},
  'starter-why-hose-life': {},
  'starter-why-cap-test': {},
  'starter-why-pump-look': {},
  'starter-why-radiator-clean': {},
  'starter-why-conductivity': {},
  'starter-why-electric-look': {},
  // What is left out on purpose.
  'starter-left-torques': {},
  'starter-left-belts': {},
  'starter-left-temperatures': {},
  'starter-left-electric': {},
});
