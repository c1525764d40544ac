import type { Verdict } from '../../evaluation/evaluation.js';
import { contextOf, momentsOf } from '../balance/moments.js';
import { risingLoss } from '../rules/rising-loss.js';
import { LOSS_DEFAULTS, type LossSettings } from '../facts/settings.js';
import type { HoldTestFact, VehicleFacts } from '../facts/types.js';
import { unrecordedWater } from '../rules/unrecorded-water.js';
import { instantMs } from '../facts/usage-span.js';
import { watchVehicle } from '../alerts/watch-vehicle.js';

interface AtUsage {
  at: string;
  odometerKm: number | null;
  engineHours: number | null;
}

/** Series ready to plot, each in time order, in canonical units. */
export interface LossTrend {
  /** All that is known to have been lost since the first known level, in L. */
  cumulativeLoss: (AtUsage & { lostL: number })[];
  /** Loss per 1,000 km (or its worth in engine hours) of each closed block, in L, and what is usual. */
  lossPer1000Km: (AtUsage & { lossL: number })[];
  usualLossPer1000KmL: number;
  /** The CUSUM at each closed block and how its level lay off the vehicle's own line, in standard deviations, each with its limit there. */
  cusum: (AtUsage & { value: number; limit: number; departure: number; departureLimit: number })[];
  /** Measured strength beside what the recorded top-ups lead one to expect, in volume %. */
  strength: (AtUsage & {
    measuredPercent: number;
    uncertaintyPercent: number;
    expectedPercent: number | null;
  })[];
  /** Hold-test rates beside what is allowed, in kPa/min. */
  holdTests: (AtUsage & {
    method: HoldTestFact['method'];
    ratePerMinuteKpa: number | null;
    allowedRateKpa: number;
    verdict: Verdict | null;
  })[];
}

/**
 * The series behind the loss alerts of one vehicle: what `watchVehicle` judges, ready to plot.
 *
 * @example lossTrend(facts, LOSS_DEFAULTS, '2026-04-01T00:00:00Z').cusum.at(-1)?.limit // 2.67 after a block of 1,500 km
 */
export function lossTrend(
  facts: VehicleFacts,
  settings: LossSettings = LOSS_DEFAULTS,
  asOf: string,
): LossTrend {
  const context = contextOf(facts, settings);
  const restarts = {
    rising: clearings(facts, settings, asOf, 'rising-loss'),
    water: clearings(facts, settings, asOf, 'unrecorded-water'),
  };
  const trend: LossTrend = {
    cumulativeLoss: [],
    lossPer1000Km: [],
    usualLossPer1000KmL: context.cohort.mu0,
    cusum: [],
    strength: [],
    holdTests: [],
  };
  let rising = risingLoss.start;
  let water = unrecordedWater.start;
  let lostL = 0;
  for (const moment of momentsOf(facts, context, asOf)) {
    if (!('fact' in moment)) continue;
    const { fact, point, level } = moment;
    for (const ms of takeUntil(restarts.rising, point.ms)) rising = risingLoss.restart(rising, ms);
    for (const ms of takeUntil(restarts.water, point.ms)) water = unrecordedWater.restart(water, ms);
    const here: AtUsage = { at: fact.at, odometerKm: fact.odometerKm, engineHours: fact.engineHours };
    if (level !== null) {
      lostL += level.lostL ?? 0;
      trend.cumulativeLoss.push({ ...here, lostL });
    }
    rising = risingLoss.step(rising, moment, context).state;
    if (rising.closed !== null) {
      trend.lossPer1000Km.push({ ...here, lossL: rising.closed.lossPer1000Km });
      const { cusum, departure, limits } = rising.closed;
      trend.cusum.push({
        ...here,
        value: cusum,
        limit: limits.cusum,
        departure: departure.standardised,
        departureLimit: limits.departure,
      });
    }
    if (fact.kind === 'freeze-point' && fact.strengthVolumePercent !== null) {
      trend.strength.push({
        ...here,
        measuredPercent: fact.strengthVolumePercent,
        uncertaintyPercent: fact.uncertaintyPercent,
        expectedPercent: water.expected?.percent ?? null,
      });
    }
    water = unrecordedWater.step(water, moment, context).state;
    if (fact.kind === 'hold-test') {
      const { method, ratePerMinuteKpa, allowedRateKpa, verdict } = fact;
      trend.holdTests.push({ ...here, method, ratePerMinuteKpa, allowedRateKpa, verdict });
    }
  }
  return trend;
}

function clearings(
  facts: VehicleFacts,
  settings: LossSettings,
  asOf: string,
  kind: 'rising-loss' | 'unrecorded-water',
): number[] {
  const episodes = watchVehicle(facts, settings, asOf).filter((episode) => episode.kind === kind);
  return episodes.flatMap((episode) => (episode.clearedAt === null ? [] : [instantMs(episode.clearedAt)]));
}

/** Takes the clearings before an instant off the list: the facts of that instant came before them. */
function takeUntil(clearedMs: number[], beforeMs: number): number[] {
  const due = clearedMs.filter((ms) => ms < beforeMs);
  clearedMs.splice(0, due.length);
  return due;
}
