import type { CoolantTechnology } from '../coolant/coolant.js';
import { COMMON_PRACTICE } from '../evaluation/common-practice.js';
import type { Message } from '../message.js';
import { message } from './messages.js';
import type { StarterCircuitValues, Stated } from './starter-set.js';

export const COMMON: Message = message('starter-basis-common-practice');

const stated = <T>(value: T, why: Message, basis: Message = COMMON): Stated<T> => ({ value, basis, why });

/**
 * What coolant of glycol and water needs, whatever the vehicle. 50 volume % freezes at −37 °C
 * (section 10 of docs/domain.md) and is within the 40 to 60 % of ASTM D6210.
 */
function coolantOf(technology: CoolantTechnology, capacityL: number): StarterCircuitValues {
  return {
    coolantBase: stated('ethylene-glycol', message('starter-why-base')),
    coolantTechnology: stated(technology, message('starter-why-technology')),
    capacityL: stated(capacityL, message('starter-why-capacity')),
    targetStrengthPercent: stated(
      50,
      message('starter-why-target-strength'),
      message('starter-basis-within-standard', { standard: 'ASTM D6210' }),
    ),
    strengthMaxPercent: stated(
      60,
      message('starter-why-strength-max'),
      message('starter-basis-standard', { standard: 'ASTM D6210' }),
    ),
  };
}

/**
 * The circuit of an engine. The cap is at the low end of what is usual, so that a test by it harms
 * no system whose own cap is rated higher.
 */
export function engineValues(of: {
  technology: CoolantTechnology;
  capacityL: number;
  capRatingKpa: number;
  isHeavy: boolean;
}): StarterCircuitValues {
  const procedure = message('starter-why-hold-test');
  return {
    ...coolantOf(of.technology, of.capacityL),
    capRatingKpa: stated(of.capRatingKpa, message('starter-why-cap')),
    coolantCondition: stated(
      { heavyDuty: of.isHeavy, wetLiners: of.isHeavy },
      message(of.isHeavy ? 'starter-why-wet-liners' : 'starter-why-not-heavy'),
    ),
    holdTestMethod: stated('pressure', procedure),
    holdTestMinutes: stated(COMMON_PRACTICE.holdMinutes, procedure),
    holdTestAllowedLossKpa: stated(COMMON_PRACTICE.pressureAllowedLossKpa, procedure),
  };
}

/**
 * A circuit that cools a part of the high-voltage system. Its coolant is poured in premixed, so it
 * has no strength to aim at, and there is no usual limit of conductivity.
 */
export function electricValues(capacityL: number): StarterCircuitValues {
  return {
    coolantBase: stated('ethylene-glycol', message('starter-why-base')),
    coolantTechnology: stated('low-conductivity', message('starter-why-low-conductivity')),
    capacityL: stated(capacityL, message('starter-why-capacity')),
  };
}
