import type { CommonPractice } from '../../evaluation/common-practice.js';
import type { UnitSystem } from '../../quantities/measures.js';
import type { AdditiveForJob } from '../to-bring/additive-for-job.js';
import type { CardBelt } from '../to-bring/belts-for-job.js';
import type { CoolantForJob } from '../to-bring/coolant-for-job.js';
import type { CardFastener } from '../to-bring/fasteners-for-job.js';
import type { HoldTestForJob } from '../to-bring/hold-test-for-job.js';
import type { CardWork } from '../work/card-work.js';

/** What the steps are worded from. */
export interface StepContext {
  work: CardWork;
  coolant: CoolantForJob | null;
  holdTest: HoldTestForJob | null;
  proofTest: HoldTestForJob | null;
  /** kPa absolute at the place of work. */
  atmosphereKpa: number;
  /** To pour in; null where how much is not known. */
  additive: AdditiveForJob | null;
  /** Those that the card names. */
  fasteners: readonly CardFastener[];
  /** Those that the card names. */
  belts: readonly CardBelt[];
  /** The circuit cools parts of the high-voltage system: it is filled and bled in another way. */
  isElectric: boolean;
  /** The vehicle has several circuits, so that each step says which it is about. */
  namesCircuit: boolean;
  /** The sheet's limit at 25 °C, µS/cm; null: none. */
  conductivityMaxUsPerCm: number | null;
  /** The machine counts engine hours and no distance. */
  isHourOnly: boolean;
  units: UnitSystem;
  practice: CommonPractice;
}
