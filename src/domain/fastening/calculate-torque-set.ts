import type { Evaluation } from '../evaluation/evaluation.js';
import { evaluateTorqueSet, type TorqueSetReading } from './torque-set.js';

/** A torque set to be judged without a spec sheet; N·m and %. */
export interface TorqueSetInput extends Omit<TorqueSetReading, 'kind' | 'fastener'> {
  torqueNm: number;
  tolerancePercent?: number | null;
}

/**
 * A torque set against a torque given with it. `count` is how many fasteners there are; with
 * `setToNm` it is also how many were tightened.
 *
 * @param input N·m and %
 * @returns computed: `torques`, `outside` (positions from 1), `overTightened` (those of them above
 * the most), `missing` (null without a count)
 * @throws ImpossibleValue for more values than fasteners, or values that are not above zero.
 * @example calculateTorqueSet({ torqueNm: 10.06, count: 12, unit: 'in.lbf', valuesNm: Array(11).fill(10.06) }).computed.missing // 1
 */
export function calculateTorqueSet(input: TorqueSetInput): Evaluation {
  const { torqueNm, tolerancePercent, ...set } = input;
  return evaluateTorqueSet(
    { kind: 'torque-set', fastener: '', ...set },
    { name: '', count: input.count ?? null, torqueNm, tolerancePercent },
  );
}
