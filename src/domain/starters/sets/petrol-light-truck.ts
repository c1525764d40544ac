import { coolantLife, engineDrive, levelLook, strengthTest } from '../engine-drive.js';
import { engineSet } from '../engine-set.js';

/** All of it is common practice. */
export const petrolLightTruck = engineSet(
  'petrol-light-truck',
  { technology: 'OAT', capacityL: 14, capRatingKpa: 90, isHeavy: false },
  [
    levelLook({ km: 10_000, months: 6 }),
    strengthTest(),
    coolantLife('OAT', [
      { km: 160_000, months: 60 },
      { km: 100_000, months: 36 },
    ]),
    ...engineDrive(
      [
        { km: 25_000, months: 12 },
        { km: 15_000, months: 6 },
      ],
      [
        { km: 150_000, months: 72 },
        { km: 90_000, months: 48 },
      ],
    ),
  ],
);
