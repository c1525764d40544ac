import { additiveTest, coolantLife, engineDrive, levelLook, radiatorClean } from '../engine-drive.js';
import { engineSet } from '../engine-set.js';

/** A diesel bus with nitrited organic-acid coolant. All of it is common practice. */
export const bus = engineSet('bus', { technology: 'NOAT', capacityL: 60, capRatingKpa: 50, isHeavy: true }, [
  levelLook({ km: 10_000, months: 1 }),
  additiveTest([
    { km: 50_000, months: 6 },
    { km: 25_000, months: 3 },
  ]),
  coolantLife('NOAT', [
    { km: 400_000, months: 60 },
    { km: 250_000, months: 48 },
  ]),
  radiatorClean([
    { km: 40_000, months: 12 },
    { km: 20_000, months: 6 },
  ]),
  ...engineDrive(
    [
      { km: 30_000, months: 6 },
      { km: 15_000, months: 3 },
    ],
    [
      { km: 250_000, months: 48 },
      { km: 150_000, months: 36 },
    ],
  ),
]);
