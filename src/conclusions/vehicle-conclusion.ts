import type { ConcludedUsage } from './conclude-usage.js';
import type { FoundAlert, Placed } from './conclusions.writes.js';
import type { StoredLine, VehicleHistory } from './history.js';

/** What the facts of one vehicle come down to. */
export interface VehicleConclusion {
  history: VehicleHistory;
  usage: ConcludedUsage;
  lines: StoredLine[];
  alerts: FoundAlert[];
  jobs: Placed[];
  readings: Placed[];
  reEvaluations: Placed[];
}
