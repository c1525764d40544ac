import { evaluateTorqueSet, type TorqueSetReading } from '../../fastening/torque-set.js';
import { onFailure, type SafetyKind } from '../contract/kind-of-reading.js';
import { named } from '../contract/safety-words.js';

export const torqueSet: SafetyKind<TorqueSetReading, 'torque-wrong'> = {
  evaluate: (reading, { fasteners = [], practice }) => {
    const group = fasteners.find(({ name }) => name === reading.fastener) ?? null;
    const evaluation = evaluateTorqueSet(reading, group, practice);
    if (group !== null || fasteners.length === 0) return evaluation;
    // A name that the sheet does not have is a slip that a null verdict would let through.
    const names = fasteners.map(({ name }) => name).join(', ');
    const slip = `${reading.fastener} is not on the spec sheet, which has: ${names}. Post it under its name there.`;
    return { ...evaluation, verdict: 'inconclusive', reasons: [slip] };
  },

  findings: onFailure('torque-wrong'),

  unsafe: {
    inWords: ({ fastener }) => ({
      what: `failed torque check${named(fastener)}`,
      until: 'the fasteners are tightened to the sheet and checked again',
    }),
  },
};
