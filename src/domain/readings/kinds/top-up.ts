import { evaluateTopUp, type TopUpReading } from '../../filling/top-up.js';
import type { KindOfReading } from '../contract/kind-of-reading.js';
import { findingsOfPouring, type PouringFinding, pouredOf } from '../contract/pouring.js';

export const topUp: KindOfReading<TopUpReading, PouringFinding> = {
  sheetValues: ['coolantBase', 'coolantTechnology', 'capacityL'],

  evaluate: (reading, by) =>
    evaluateTopUp(reading, {
      base: by.coolant?.base,
      technology: by.coolant?.technology,
      capacityL: by.coolant?.capacityL,
      earlier: by.pouredSinceReplacement ?? [],
      basesSinceFlush: by.basesSinceFlush ?? [],
      strengthPercent: by.strengthPercent,
      freezePointRead: by.job.freezePointRead,
      practice: by.practice,
    }),

  findings: (_reading, { computed }) => findingsOfPouring(computed, { failed: [], weak: 'water-poured' }),

  poured: pouredOf,

  levelFact: ({ addedL, strengthPercent = null, toMark, planned }, fact) => ({
    ...fact,
    kind: 'top-up',
    addedL,
    strengthPercent,
    toMark: toMark === true,
    planned: planned === true,
  }),
};
