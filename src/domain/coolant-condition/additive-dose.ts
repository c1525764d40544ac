import { requirePositive } from '../quantities/plausible.js';
import { convert, type Quantity, type Unit } from '../quantities/units.js';
import { unitInWords } from '../quantities/wording.js';

/** What of a coolant an additive raises. */
export type Inhibitor = 'sca' | 'nitrite' | 'molybdate';

/**
 * An additive as on its bottle: an amount of it, the coolant that the amount treats, and the rise.
 * Null: not on the bottle.
 */
export interface CoolantAdditive {
  product?: string | null;
  /** In the unit on the bottle. */
  amount: Quantity;
  /** The coolant that this amount treats, L. */
  treatsL: number;
  raisesScaUnitsPerGallon?: number | null;
  raisesNitriteMgPerL?: number | null;
  raisesMolybdateMgPerL?: number | null;
}

/** How much additive to pour in. */
export interface AdditiveDose {
  product: string | null;
  /** In the unit on the bottle, exact. */
  amount: Quantity;
  amountL: number;
  /** As it is measured out, such as 2.5 pt. */
  inWords: string;
  from: number;
  to: number;
}

/**
 * Where only a least value is known, the dose goes this far above it; common practice, no source.
 */
const ABOVE_LEAST = 1.25;

/** What can be measured out, by unit; common practice. */
const MEASURED_TO: Partial<Record<Unit, number>> = {
  mL: 50,
  L: 0.1,
  'fl.oz': 1,
  pt: 0.5,
  qt: 0.5,
  gal: 0.25,
};

/**
 * What a dose brings an inhibitor to: the middle of its limits, or a quarter above the least where
 * there is no greatest.
 *
 * @example doseTarget(1.5, 3) // 2.25
 */
export function doseTarget(least: number, most: number | null): number {
  return most === null ? ABOVE_LEAST * least : (least + most) / 2;
}

/**
 * How much additive brings an inhibitor from what was measured to its target.
 *
 * dose = (target − measured) / what the bottle's amount raises × capacity / coolant that amount
 * treats × amount. Conservation of the inhibitor; the dose itself is small beside the capacity
 * and leaves the volume as it is.
 *
 * @param additive as on the bottle
 * @param measured and target in the inhibitor's own unit: SCA units per US gallon, or mg/L
 * @param capacityL of the cooling system, L
 * @returns null where nothing is missing, or the bottle does not say how much it raises this
 * inhibitor
 * @throws ImpossibleValue for a capacity that is not above zero.
 * @example additiveDose({ amount: { value: 1, unit: 'pt' }, treatsL: 3.785411784, raisesScaUnitsPerGallon: 10 }, 'sca', { measured: 0.5, target: 2.25 }, 37.85411784)?.inWords // '2 pt': 1.75 pt exactly
 */
export function additiveDose(
  additive: CoolantAdditive,
  inhibitor: Inhibitor,
  { measured, target }: { measured: number; target: number },
  capacityL: number,
): AdditiveDose | null {
  requirePositive('capacity', capacityL, 'L');
  const raises = raisedBy(additive, inhibitor);
  if (raises === null || measured >= target) return null;
  const { value, unit } = additive.amount;
  const amount = (((target - measured) / raises) * capacityL * value) / additive.treatsL;
  return {
    product: additive.product ?? null,
    amount: { value: Number(amount.toPrecision(10)), unit },
    amountL: convert(amount, unit, 'L'),
    inWords: measuredOut(amount, unit),
    from: measured,
    to: target,
  };
}

function raisedBy(additive: CoolantAdditive, inhibitor: Inhibitor): number | null {
  const raises = {
    sca: additive.raisesScaUnitsPerGallon,
    nitrite: additive.raisesNitriteMgPerL,
    molybdate: additive.raisesMolybdateMgPerL,
  }[inhibitor];
  return raises != null && raises > 0 ? raises : null;
}

/** The unit to measure a little in. */
const SMALLER: Readonly<Partial<Record<Unit, Unit>>> = { gal: 'qt', qt: 'fl.oz', pt: 'fl.oz', L: 'mL' };
/**
 * If rounding would exceed the dose by more than this share, a smaller unit is used, because too
 * much does harm; common practice.
 */
const MOST_OVER = 0.6;

/**
 * Rounded up to what can be measured out: less would not reach the target. A dose that is small
 * against the marks is shown in a smaller unit.
 */
function measuredOut(amount: number, unit: Unit): string {
  const step = MEASURED_TO[unit] ?? 0.1;
  const rounded = Math.ceil(amount / step - 1e-9) * step;
  const smaller = SMALLER[unit];
  if (smaller !== undefined && rounded > amount * (1 + MOST_OVER))
    return measuredOut(convert(amount, unit, smaller), smaller);
  return `${Number(rounded.toFixed(2))} ${unitInWords(unit)}`;
}
