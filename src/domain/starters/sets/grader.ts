import {
  additiveTest,
  coolantFilter,
  coolantLife,
  engineDrive,
  levelLook,
  radiatorClean,
} from '../engine-drive.js';
import { engineSet } from '../engine-set.js';

/** A grader counts engine hours alone. Dust blocks its radiator. All is common practice. */
export const grader = engineSet(
  'grader',
  { technology: 'IAT', capacityL: 40, capRatingKpa: 70, isHeavy: true },
  [
    levelLook({ hours: 50, months: 1 }),
    additiveTest([
      { hours: 500, months: 6 },
      { hours: 250, months: 3 },
    ]),
    coolantFilter([
      { hours: 1_000, months: 12 },
      { hours: 500, months: 12 },
    ]),
    coolantLife('IAT', [
      { hours: 3_000, months: 24 },
      { hours: 2_000, months: 24 },
    ]),
    radiatorClean([
      { hours: 250, months: 3 },
      { hours: 100, months: 1 },
    ]),
    ...engineDrive(
      [
        { hours: 500, months: 6 },
        { hours: 250, months: 3 },
      ],
      [
        { hours: 4_000, months: 48 },
        { hours: 3_000, months: 36 },
      ],
    ),
  ],
);
