import { evaluateTorqueSet, type TorqueSetReading } from '../../fastening/torque-set.js';
import { onFailure, type SafetyKind } from '../contract/kind-of-reading.js';
import { nameOf } from '../contract/safety-words.js';
import { message } from '../messages.js';

export const torqueSet: SafetyKind<TorqueSetReading, 'torque-wrong'> = {
  sheetValues: [],

  evaluate: (reading, { fasteners = [], practice }) => {
    const group = fasteners.find(({ name }) => name === reading.fastener) ?? null;
    const evaluation = evaluateTorqueSet(reading, group, practice);
    if (group !== null || fasteners.length === 0) return evaluation;
    // A name that the sheet does not have is a slip that a null verdict would let through.
    const names = fasteners.map(({ name }) => name);
    const slip = message('torque-set-not-on-sheet', { fastener: reading.fastener, names });
    return { ...evaluation, verdict: 'inconclusive', reasons: [slip] };
  },

  findings: onFailure('torque-wrong'),

  unsafe: {
    inWords: ({ fastener }) => {
      const name = nameOf(fastener);
      return {
        what:
          name === null
            ? message('finding-failed-torque-check')
            : message('finding-failed-torque-check-of', { name }),
        until: message('settled-by-torque-check'),
      };
    },
  },
};
