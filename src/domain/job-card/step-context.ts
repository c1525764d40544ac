import type { CommonPractice } from '../checks/common-practice.js';
import type { UnitSystem } from '../quantities/measures.js';
import type { CardWork } from './card-work.js';
import type { CoolantForJob } from './coolant-for-job.js';
import type { HoldTestForJob } from './hold-test-for-job.js';

/** What the steps are worded from. */
export interface StepContext {
  work: CardWork;
  coolant: CoolantForJob | null;
  holdTest: HoldTestForJob | null;
  proofTest: HoldTestForJob | null;
  /** kPa absolute at the place of work. */
  atmosphereKpa: number;
  /** How many groups of fasteners the card names. */
  fastenerGroups: number;
  /** The machine counts engine hours and no distance. */
  isHourOnly: boolean;
  units: UnitSystem;
  practice: CommonPractice;
}
