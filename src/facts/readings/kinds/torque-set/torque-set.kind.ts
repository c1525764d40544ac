import type { TorqueSetReading } from '../../../../domain/fastening/torque-set.js';
import { convert } from '../../../../domain/quantities/units.js';
import type { PostedKind } from '../posted-kind.js';
import { TorqueSetInput } from './torque-set.dto.js';

export const torqueSet: PostedKind<TorqueSetInput, TorqueSetReading> = {
  input: TorqueSetInput,

  canonical: (input) => ({ kind: 'torque-set', fastener: input.fastener.trim(), ...canonicalTorques(input) }),

  fields: { values: '/values' },
};

/** The torques of a set, whichever fastener was tightened. */
export function canonicalTorques(
  input: Omit<TorqueSetInput, 'kind' | 'fastener'>,
): Omit<TorqueSetReading, 'kind' | 'fastener'> {
  return {
    unit: input.unit,
    valuesNm: input.values?.map((value) => convert(value, input.unit, 'N.m')) ?? null,
    setToNm: input.setTo == null ? null : convert(input.setTo, input.unit, 'N.m'),
    count: input.count ?? null,
    source: input.source ?? null,
    toolUncertaintyPercent: input.toolUncertaintyPercent ?? null,
  };
}
