import { type CapTestReading, evaluateCapTest } from '../../checks/cap-test.js';
import { type KindOfReading, onFailure } from '../contract/kind-of-reading.js';

export const capTest: KindOfReading<CapTestReading, 'cap-failed'> = {
  sheetValues: ['capRatingKpa'],

  evaluate: (reading, { coolant, practice }) =>
    evaluateCapTest(reading, { capRatingKpa: coolant?.capRatingKpa, practice }),

  findings: onFailure('cap-failed'),
};
