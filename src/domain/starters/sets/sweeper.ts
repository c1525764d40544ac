import { coolantLife, engineDrive, levelLook, radiatorClean, strengthTest } from '../engine-drive.js';
import { engineSet } from '../engine-set.js';

/** A sweeper's engine: low speed, dust, and engine hours. All of it is common practice. */
export const sweeper = engineSet(
  'sweeper',
  { technology: 'OAT', capacityL: 20, capRatingKpa: 50, isHeavy: true },
  [
    levelLook({ hours: 50, months: 1 }),
    strengthTest(),
    coolantLife('OAT', [
      { hours: 4_000, months: 48 },
      { hours: 3_000, months: 36 },
    ]),
    radiatorClean([
      { hours: 100, months: 1 },
      { hours: 50, months: 1 },
    ]),
    ...engineDrive(
      [
        { hours: 250, months: 6 },
        { hours: 125, months: 3 },
      ],
      [
        { hours: 2_500, months: 48 },
        { hours: 2_000, months: 36 },
      ],
    ),
  ],
);
