import { ImpossibleValue } from '../impossible-value.js';
import { requireNotNegative, requirePercent, requirePositive } from '../quantities/plausible.js';
import { plain } from '../quantities/wording.js';

/** What a mechanic takes along to fill a system; L. */
export interface CoolantToBring {
  concentrateL: number;
  waterL: number;
}

/**
 * How much concentrate and water fill a drained system to a strength, counting what stays in block
 * and heater. After a water flush what stays is water, and ready-mixed
 * coolant would end too weak: neat concentrate of capacity times target goes in first.
 *
 * Source: conservation of volume, volumes taken as additive.
 *
 * @param fill capacity and what stays in L, strengths in volume %; `staysStrengthPercent` is 0
 * after a water flush
 * @returns L of neat concentrate and of water
 * @throws ImpossibleValue when what drains out is too little to reach the target, saying so.
 * @example coolantToBring({ capacityL: 14, staysL: 4.5, staysStrengthPercent: 0, targetStrengthPercent: 50 }) // 7 L concentrate, 2.5 L water
 */
export function coolantToBring(fill: {
  capacityL: number;
  staysL: number;
  staysStrengthPercent: number;
  targetStrengthPercent: number;
}): CoolantToBring {
  const capacityL = requirePositive('capacity', fill.capacityL, 'L');
  const staysL = requireNotNegative('what stays', fill.staysL, 'L');
  const stays = requirePercent('strength of what stays', fill.staysStrengthPercent) / 100;
  const target = requirePercent('targetStrength', fill.targetStrengthPercent) / 100;
  const roomL = capacityL - staysL;
  if (roomL < 0) {
    const detail = `${plain(staysL)} L is more than the system holds, ${plain(capacityL)} L`;
    throw new ImpossibleValue({ field: 'what stays', value: staysL, limit: { max: capacityL }, detail });
  }
  const concentrateL = capacityL * target - staysL * stays;
  if (concentrateL > roomL) {
    throw new ImpossibleValue({
      field: 'targetStrength',
      value: 100 * target,
      limit: { max: (100 * (roomL + staysL * stays)) / capacityL },
      detail: `${plain(100 * target)} % needs ${plain(concentrateL)} L of concentrate, but only ${plain(roomL)} L drained out: drain the block and heater too`,
    });
  }
  if (concentrateL < 0) {
    throw new ImpossibleValue({
      field: 'targetStrength',
      value: 100 * target,
      limit: { min: (100 * staysL * stays) / capacityL },
      detail: `${plain(100 * target)} % is weaker than what stays in the system makes it; drain the block and heater too`,
    });
  }
  return { concentrateL, waterL: roomL - concentrateL };
}
