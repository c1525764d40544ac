import { evaluateLevelCheck, type LevelCheckReading } from '../../checks/level-check.js';
import { onFailure, type SafetyKind } from '../contract/kind-of-reading.js';
import type { FindingInWords } from '../contract/safety-words.js';
import { message } from '../messages.js';

/** Short of coolant: once filled up it may drive, and the level is read again later. */
export const LEVEL_LOW: FindingInWords = {
  what: message('finding-failed-level-check'),
  until: message('settled-by-level-check'),
};

export const levelCheck: SafetyKind<LevelCheckReading, 'level-low'> = {
  sheetValues: ['capacityL', 'minToMaxL'],

  evaluate: (reading, { coolant, practice }) =>
    evaluateLevelCheck(reading, { capacityL: coolant?.capacityL, minToMaxL: coolant?.minToMaxL, practice }),

  findings: onFailure('level-low'),

  levelFact: ({ belowMarkL = null, level = null, engineCold }, fact) => ({
    ...fact,
    kind: 'level-check',
    belowMarkL,
    level,
    engineCold: engineCold === true,
  }),

  unsafe: {
    inWords: () => LEVEL_LOW,
  },
};
