import { evaluateFill, type FillReading } from '../../filling/fill.js';
import type { Evaluation } from '../../evaluation/evaluation.js';
import { ImpossibleValue } from '../../impossible-value.js';
import { atmosphereAt } from '../../atmosphere/atmosphere.js';
import { numberIn } from '../contract/computed-values.js';
import { ALONE, type KindOfReading, type Surroundings } from '../contract/kind-of-reading.js';
import { findingsOfPouring, type PouringFinding, pouredOf } from '../contract/pouring.js';
import { placeOf } from '../contract/reading-context.js';
import { holdTest } from './hold-test.js';

export const fill: KindOfReading<FillReading, 'fill-short' | 'fill-weak' | PouringFinding> = {
  sheetValues: [...holdTest.sheetValues, 'coolantTechnology', 'capacityL', 'drainableL'],

  evaluate: (reading, by) => {
    const { coolant, job } = by;
    return evaluateFill(reading, {
      base: coolant?.base,
      technology: coolant?.technology,
      capacityL: coolant?.capacityL,
      drainableL: coolant?.drainableL,
      earlier: by.pouredSinceReplacement ?? [],
      basesSinceFlush: by.basesSinceFlush ?? [],
      stayedStrengthPercent: by.stayedStrengthPercent,
      filledFromVacuum: vacuumFilledFrom(by),
      warmUp: job.warmUp,
      toppedUpL: job.toppedUpL,
      freezePointRead: job.freezePointRead,
      practice: by.practice,
    });
  },

  // A weak fill is inconclusive; a fill of water alone has a finding of its own.
  findings: ({ strengthPercent }, { verdict, computed }) =>
    findingsOfPouring(computed, {
      failed: verdict === 'fail' ? ['fill-short'] : [],
      weak: strengthPercent === 0 ? 'water-poured' : 'fill-weak',
    }),

  poured: pouredOf,

  strengthPercent: (reading, { expectedStrengthPercent }: Evaluation['computed']) =>
    numberIn(expectedStrengthPercent ?? reading.strengthPercent),

  levelFact: ({ addedL, strengthPercent = null }, fact, jobId) => ({
    ...fact,
    kind: 'fill',
    addedL,
    strengthPercent,
    jobId,
  }),
};

// A vacuum that failed, or took out less than half of the air, is not one to fill from: the air
// that it left would explain litres that are missing for another reason.
function vacuumFilledFrom(by: Surroundings): { vacuumKpa: number; atmosphereKpa: number } | null {
  const hold = by.job.vacuumHold;
  if (hold === null) return null;
  try {
    const { elevationM, barometerKpa } = placeOf(by);
    const atmosphere = atmosphereAt(
      { barometerKpa: hold.barometerKpa ?? barometerKpa, elevationM },
      hold.unit,
    );
    const { verdict } = holdTest.evaluate(hold, { ...by, job: ALONE });
    const isSound = verdict !== 'fail' && hold.endKpa >= atmosphere.kpa / 2;
    return isSound ? { vacuumKpa: hold.endKpa, atmosphereKpa: atmosphere.kpa } : null;
  } catch (error) {
    // An impossible hold test is reported where it is judged itself; the fill still counts.
    if (error instanceof ImpossibleValue) return null;
    throw error;
  }
}
