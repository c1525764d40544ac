import { additiveTest, coolantFilter, coolantLife, engineDrive, levelLook } from '../engine-drive.js';
import { engineSet } from '../engine-set.js';

/** Wet liners and conventional coolant, whose additives are checked. All is common practice. */
export const dieselHeavy = engineSet(
  'diesel-heavy',
  { technology: 'IAT', capacityL: 45, capRatingKpa: 70, isHeavy: true },
  [
    levelLook({ km: 20_000, months: 3 }),
    additiveTest([
      { km: 40_000, months: 6 },
      { km: 20_000, months: 3 },
    ]),
    coolantFilter([
      { km: 80_000, months: 12 },
      { km: 40_000, months: 12 },
    ]),
    coolantLife('IAT', [
      { km: 240_000, months: 24 },
      { km: 160_000, months: 24 },
    ]),
    ...engineDrive(
      [
        { km: 40_000, months: 6 },
        { km: 20_000, months: 3 },
      ],
      [
        { km: 300_000, months: 48 },
        { km: 200_000, months: 36 },
      ],
    ),
  ],
);
