import { ImpossibleValue } from '../impossible-value.js';
import { requireNotNegative, requirePercent, requirePositive } from '../quantities/plausible.js';
import { told } from '../quantities/told.js';
import { message } from './messages.js';

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
  const staysL = requireNotNegative('stays', fill.staysL, 'L');
  const stays = requirePercent('staysStrength', fill.staysStrengthPercent) / 100;
  const target = requirePercent('targetStrength', fill.targetStrengthPercent) / 100;
  const roomL = capacityL - staysL;
  if (roomL < 0) {
    const detail = message('fill-stays-more-than-capacity', {
      stays: told('volume', staysL, 'L'),
      capacity: told('volume', capacityL, 'L'),
    });
    throw new ImpossibleValue({ field: 'stays', value: staysL, limit: { max: capacityL }, detail });
  }
  const concentrateL = capacityL * target - staysL * stays;
  if (concentrateL > roomL) {
    throw new ImpossibleValue({
      field: 'targetStrength',
      value: 100 * target,
      limit: { max: (100 * (roomL + staysL * stays)) / capacityL },
      detail: message('refill-needs-more-room', {
        target: 100 * target,
        concentrate: told('volume', concentrateL, 'L', 'exact'),
        room: told('volume', roomL, 'L', 'exact'),
      }),
    });
  }
  if (concentrateL < 0) {
    throw new ImpossibleValue({
      field: 'targetStrength',
      value: 100 * target,
      limit: { min: (100 * staysL * stays) / capacityL },
      detail: message('refill-too-strong-already', { target: 100 * target }),
    });
  }
  return { concentrateL, waterL: roomL - concentrateL };
}
