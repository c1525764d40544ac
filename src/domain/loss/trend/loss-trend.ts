import type { Verdict } from '../../evaluation/evaluation.js';
import { watchVehicle } from '../alerts/watch-vehicle.js';
import { type Moment, momentsOf } from '../balance/moments.js';
import { contextOf, type WatchContext } from '../balance/watch-context.js';
import { LOSS_DEFAULTS, type LossSettings } from '../facts/settings.js';
import type {
  CoolantFact,
  HoldTestFact,
  LossAlertEpisode,
  LossAlertKind,
  VehicleFacts,
} from '../facts/types.js';
import { instantMs } from '../facts/usage-span.js';
import { risingLoss } from '../rules/rising-loss.js';
import { unrecordedWater } from '../rules/unrecorded-water.js';

interface AtUsage {
  at: string;
  odometerKm: number | null;
  engineHours: number | null;
}

/** Series ready to plot, each in time order, in canonical units. */
export interface LossTrend {
  /** All that is known to have been lost since the first known level, in L. */
  cumulativeLoss: (AtUsage & { lostL: number })[];
  /**
   * Loss per 1,000 km (or its worth in engine hours) of each closed block, in L, and what is usual.
   */
  lossPer1000Km: (AtUsage & { lossL: number })[];
  usualLossPer1000KmL: number;
  /**
   * The CUSUM at each closed block, and how far its level was off the vehicle's own line, in
   * standard deviations, each with its limit there.
   */
  cusum: (AtUsage & { value: number; limit: number; departure: number; departureLimit: number })[];
  /** Measured strength, and the strength expected from the recorded top-ups, in volume %. */
  strength: (AtUsage & {
    measuredPercent: number;
    uncertaintyPercent: number;
    expectedPercent: number | null;
  })[];
  /** Hold-test rates and the allowed rates, in kPa/min. */
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
  const moments = momentsOf(facts, context, asOf).filter((moment) => 'fact' in moment);
  const episodes = watchVehicle(facts, settings, asOf);
  const { lossPer1000Km, cusum } = blocksOf(moments, clearedMs(episodes, 'rising-loss'), context);
  return {
    cumulativeLoss: cumulativeLossOf(moments),
    lossPer1000Km,
    usualLossPer1000KmL: context.cohort.mu0,
    cusum,
    strength: strengthOf(moments, clearedMs(episodes, 'unrecorded-water'), context),
    holdTests: moments.flatMap(({ fact }) => (fact.kind === 'hold-test' ? [holdTestOf(fact)] : [])),
  };
}

const placed = ({ at, odometerKm, engineHours }: CoolantFact): AtUsage => ({ at, odometerKm, engineHours });

function cumulativeLossOf(moments: readonly Moment[]): LossTrend['cumulativeLoss'] {
  let lostL = 0;
  return moments.flatMap(({ fact, level }) => {
    if (level === null) return [];
    lostL += level.lostL ?? 0;
    return [{ ...placed(fact), lostL }];
  });
}

function blocksOf(
  moments: readonly Moment[],
  cleared: number[],
  context: WatchContext,
): Pick<LossTrend, 'lossPer1000Km' | 'cusum'> {
  let state = risingLoss.start;
  const blocks = moments.flatMap((moment) => {
    for (const ms of takeUntil(cleared, moment.point.ms)) state = risingLoss.restart(state, ms);
    state = risingLoss.step(state, moment, context).state;
    return state.closed === null ? [] : [{ here: placed(moment.fact), ...state.closed }];
  });
  return {
    lossPer1000Km: blocks.map(({ here, lossPer1000Km }) => ({ ...here, lossL: lossPer1000Km })),
    cusum: blocks.map(({ here, cusum, departure, limits }) => ({
      ...here,
      value: cusum,
      limit: limits.cusum,
      departure: departure.standardised,
      departureLimit: limits.departure,
    })),
  };
}

function strengthOf(
  moments: readonly Moment[],
  cleared: number[],
  context: WatchContext,
): LossTrend['strength'] {
  let state = unrecordedWater.start;
  return moments.flatMap((moment) => {
    const { fact } = moment;
    for (const ms of takeUntil(cleared, moment.point.ms)) state = unrecordedWater.restart(state, ms);
    // What was expected before this reading, which itself becomes what is expected of the next.
    const expectedPercent = state.expected?.percent ?? null;
    state = unrecordedWater.step(state, moment, context).state;
    if (fact.kind !== 'freeze-point' || fact.strengthVolumePercent === null) return [];
    const { strengthVolumePercent: measuredPercent, uncertaintyPercent } = fact;
    return [{ ...placed(fact), measuredPercent, uncertaintyPercent, expectedPercent }];
  });
}

function holdTestOf(fact: HoldTestFact): LossTrend['holdTests'][number] {
  const { method, ratePerMinuteKpa, allowedRateKpa, verdict } = fact;
  return { ...placed(fact), method, ratePerMinuteKpa, allowedRateKpa, verdict };
}

function clearedMs(episodes: readonly LossAlertEpisode[], kind: LossAlertKind): number[] {
  return episodes
    .filter((episode) => episode.kind === kind)
    .flatMap((episode) => (episode.clearedAt === null ? [] : [instantMs(episode.clearedAt)]));
}

/**
 * Takes the clearings before an instant off the list: the facts of that instant came before them.
 */
function takeUntil(cleared: number[], beforeMs: number): number[] {
  const due = cleared.filter((ms) => ms < beforeMs);
  cleared.splice(0, due.length);
  return due;
}
