import { MS_PER_DAY } from '../../calendar/zone.js';
import { type Moment, momentsOf } from '../balance/moments.js';
import { contextOf, type WatchContext } from '../balance/watch-context.js';
import { LOSS_DEFAULTS, type LossSettings } from '../facts/settings.js';
import {
  CLEARED_BY_PROOF,
  type AlertActionFact,
  type LossAlertEpisode,
  type LossAlertKind,
  type VehicleFacts,
} from '../facts/types.js';
import { instantMs } from '../facts/usage-span.js';
import { earlyReturn } from '../rules/early-return.js';
import { repeatTopUps } from '../rules/repeat-top-ups.js';
import { risingLoss } from '../rules/rising-loss.js';
import type { Finding, Rule } from '../rules/rule.js';
import { unrecordedWater } from '../rules/unrecorded-water.js';
import { weakeningHold } from '../rules/weakening-hold.js';
import { act, asOfInstant, clear, isMeant, join, raise, withEvidence } from './episodes.js';
import { NO_REPAIR, provesRepair, takeIntoRepairs, type RepairState } from './proof-of-repair.js';
import { reportedLow } from './reported-low.js';
import { signOfReturn } from './sign-of-return.js';

/** One rule at work on one vehicle, its state kept inside, with the alert that it may have open. */
interface Watch {
  kind: LossAlertKind;
  observe(moment: Moment): Finding | null;
  restart(clearedMs: number): void;
  open: LossAlertEpisode | null;
  /** When the open alert last gained evidence. */
  evidenceMs: number;
  clearedMs: number | null;
}

function follow<State>(kind: LossAlertKind, rule: Rule<State>, context: WatchContext): Watch {
  let state = rule.start;
  return {
    kind,
    observe(moment) {
      const next = rule.step(state, moment, context);
      state = next.state;
      return next.finding;
    },
    restart(clearedMs) {
      state = rule.restart(state, clearedMs);
    },
    open: null,
    evidenceMs: 0,
    clearedMs: null,
  };
}

/**
 * The loss alerts of one circuit of a vehicle, from its first fact to an instant.
 *
 * A conclusion and nothing else: the same facts in any order give the same alerts, so that they can
 * be rebuilt from history at any time. One alert of a kind is
 * open at a time and new evidence joins it. The first four kinds are cleared by a repair together
 * with proof that it held, all of them by a manager.
 *
 * @param facts distances in km, engine hours in h, volumes in L, strengths in volume %, rates in
 * kPa/min.
 * @returns the episodes in the order in which they were raised. @throws ImpossibleValue on an
 *   instant without offset, a capacity that is not above zero, or shelving without an end.
 * @example watchVehicle({ vehicleId, sheet: { capacityL: 12, … }, cohort: null, events: [0.3 L on 1 March, 0.35 L on 13 March] }, LOSS_DEFAULTS, '2026-04-01T00:00:00Z') // one repeat-top-ups
 */
export function watchVehicle(
  facts: VehicleFacts,
  settings: LossSettings = LOSS_DEFAULTS,
  asOf: string,
): LossAlertEpisode[] {
  const context = contextOf(facts, settings);
  const watches: Watch[] = [
    follow('repeat-top-ups', repeatTopUps, context),
    follow('rising-loss', risingLoss, context),
    follow('unrecorded-water', unrecordedWater, context),
    follow('weakening-hold', weakeningHold, context),
    follow('early-return', earlyReturn, context),
  ];
  const cleared: LossAlertEpisode[] = [];
  let repairs: RepairState = NO_REPAIR;

  const close = (watch: Watch, episode: LossAlertEpisode, ms: number) => {
    cleared.push(episode);
    watch.open = null;
    watch.clearedMs = ms;
    watch.restart(ms);
  };
  for (const moment of momentsOf(facts, context, asOf)) {
    if (!('fact' in moment)) {
      actOn(watches, moment, close);
      continue;
    }
    repairs = takeIntoRepairs(repairs, moment);
    for (const watch of watches) notice(watch, moment, facts, cleared, context);
    if (!provesRepair(repairs, moment, context)) continue;
    for (const watch of watches) {
      const isRepaired = (repairs.lastRepair?.ms ?? -Infinity) >= watch.evidenceMs;
      if (watch.open === null || !isRepaired || !CLEARED_BY_PROOF.includes(watch.kind)) continue;
      close(watch, clear(watch.open, moment.fact.at, 'proof'), moment.point.ms);
    }
  }
  const open = watches.flatMap((watch) => (watch.open === null ? [] : [asOfInstant(watch.open, asOf)]));
  return [...cleared, ...open].sort(
    (a, b) => instantMs(a.raisedAt) - instantMs(b.raisedAt) || (a.key < b.key ? -1 : 1),
  );
}

function actOn(
  watches: readonly Watch[],
  action: AlertActionFact,
  close: (watch: Watch, episode: LossAlertEpisode, ms: number) => void,
): void {
  for (const watch of watches) {
    if (watch.open === null || !isMeant(watch.open, action.alertKey)) continue;
    const after = act(watch.open, action);
    if (after.status === 'cleared') close(watch, after, instantMs(action.at));
    else watch.open = after;
  }
}

function notice(
  watch: Watch,
  moment: Moment,
  { vehicleId, circuit }: VehicleFacts,
  cleared: readonly LossAlertEpisode[],
  context: WatchContext,
): void {
  const { ms } = moment.point;
  const usual = watch.observe(moment);
  const isRecent =
    watch.clearedMs !== null && ms - watch.clearedMs <= context.settings.returnDays * MS_PER_DAY;
  const mayReturn = isRecent && watch.open === null && watch.clearedMs !== null;
  const finding = usual ?? (mayReturn ? signOfReturn(watch.kind, moment, watch.clearedMs, context) : null);
  if (finding === null) {
    const supporting = watch.open === null ? null : reportedLow(watch.kind, moment);
    if (watch.open === null || supporting === null) return;
    watch.evidenceMs = ms;
    watch.open = withEvidence(watch.open, supporting);
    return;
  }
  watch.evidenceMs = ms;
  if (watch.open !== null) {
    watch.open = join(watch.open, finding);
    return;
  }
  const before = cleared.filter((episode) => episode.kind === watch.kind);
  watch.open = raise({
    kind: watch.kind,
    vehicleId,
    circuit,
    finding,
    raisedAt: moment.fact.at,
    returned: isRecent,
    before,
  });
}
