import { MS_PER_DAY } from '../../calendar/zone.js';
import { measure } from '../../quantities/measures.js';
import { componentTerm } from '../../intervals/terms.js';
import { binomialUpperTail } from '../../statistics/binomial-tail.js';
import { act, asOfInstant, isMeant, join, raise } from '../alerts/episodes.js';
import { LOSS_DEFAULTS, type LossSettings } from '../facts/settings.js';
import { inTimeOrder } from '../facts/time-order.js';
import type { AlertActionFact, LossAlertEpisode, LossEvidence } from '../facts/types.js';
import { instantMs } from '../facts/usage-span.js';
import { message } from '../messages.js';
import type { Finding } from '../rules/rule.js';
import { exposureOf, inFittingOrder, kmUntil, type Exposure, type PartFitting } from './part-exposure.js';

/** The parts of all vehicles of one spec sheet, with what people did about alerts on batches. */
export interface SheetParts {
  fittings: readonly PartFitting[];
  actions: readonly AlertActionFact[];
}

/**
 * The part of the error probability that the look at a batch's k-th alert may use: 3/(k·(k + 1))
 * from the third on, which add up to one. A batch is looked at again with each of its alerts, and
 * chance would sooner or later pass a limit that is right for one look (Bonferroni's inequality).
 */
function shareOfLook(alerts: number, settings: LossSettings): number {
  return settings.partLotVehicles / (alerts * (alerts + 1));
}

function judgeLot(
  lot: readonly Exposure[],
  all: readonly Exposure[],
  lotsTested: number,
  ms: number,
  settings: LossSettings,
): { finding: Finding; members: string[] } | null {
  const alerted = (exposures: readonly Exposure[]) =>
    exposures.filter((exposure) => exposure.alertMs !== null && exposure.alertMs <= ms);
  const km = (exposures: readonly Exposure[]) =>
    exposures.reduce((sum, exposure) => sum + kmUntil(exposure, ms), 0);
  const struck = alerted(lot);
  const members = [...new Set(struck.map((exposure) => exposure.fitting.vehicleId))];
  if (members.length < settings.partLotVehicles) return null;
  const totalKm = km(all);
  if (totalKm <= 0) return null;
  const share = Math.min(1, km(lot) / totalKm);
  const alerts = alerted(all).length;
  const p = binomialUpperTail(struck.length, alerts, share);
  const limit = (settings.partLotP * shareOfLook(struck.length, settings)) / lotsTested;
  if (p >= limit) return null;
  const finding: Finding = {
    evidence: struck.map(evidenceOf),
    computed: {
      alerts: struck.length,
      alertsOfAllLots: alerts,
      vehicles: members.length,
      distance: measure('distance', km(lot)),
      distanceOfAllLots: measure('distance', totalKm),
      shareOfDistancePercent: 100 * share,
      p,
      pLimit: limit,
      lotsTested,
    },
    basis: [message('basis-loss-batch', { limit, probability: settings.partLotP, batches: lotsTested })],
  };
  return { finding, members };
}

function evidenceOf(exposure: Exposure): LossEvidence {
  const { fitting } = exposure;
  const km = exposure.alertMs === null ? 0 : kmUntil(exposure, exposure.alertMs);
  return {
    factId: fitting.factId,
    kind: 'job',
    at: fitting.fittedAt,
    message: message('loss-batch-fitted', {
      part: componentTerm(fitting.component),
      batch: fitting.lot ?? '?',
      distance: measure('distance', km),
    }),
    computed: { vehicleId: fitting.vehicleId, distance: measure('distance', km) },
  };
}

/**
 * Batches of parts that fail more than their share, within one spec sheet.
 *
 * After each alert, every batch in use is tested. Of the n vehicles' first alerts with a part of
 * this component, k fell on the batch, which ran the share p of the kilometres. The binomial
 * P(X ≥ k) must lie below 0.01, divided by the number of batches tested and shared out over the
 * looks, with at least three vehicles. An alert names no vehicle; `members` lists them. Only a
 * manager clears it, and what was evidence then is not counted again.
 *
 * @param parts odometers in km. @returns the episodes in the order in which they were raised.
 *   @throws ImpossibleValue on an instant without offset.
 */
export function watchPartLots(
  parts: SheetParts,
  settings: LossSettings = LOSS_DEFAULTS,
  asOf: string,
): LossAlertEpisode[] {
  const byComponent = new Map<string, Exposure[]>();
  for (const exposure of inFittingOrder(parts.fittings.map(exposureOf))) {
    if (exposure.fittedMs > instantMs(asOf)) continue;
    const { component } = exposure.fitting;
    const exposures = byComponent.get(component);
    if (exposures === undefined) byComponent.set(component, [exposure]);
    else exposures.push(exposure);
  }
  const actions = inTimeOrder(parts.actions, asOf).flatMap(({ fact }) =>
    fact.kind === 'alert-action' ? [fact] : [],
  );
  const lotsByComponent = [...byComponent.values()].map(lotsOf);
  const firstFittings = lotsByComponent.flatMap((lots) =>
    [...lots.values()].map((lot) => Math.min(...lot.map((exposure) => exposure.fittedMs))),
  );
  // Those in use by then: a later batch must not take back what was found before.
  const lotsTestedBy = (ms: number): number => firstFittings.filter((fittedMs) => fittedMs <= ms).length;
  const episodes = [...byComponent.values()].flatMap((exposures, index) =>
    [...(lotsByComponent[index] ?? [])].flatMap(([subject, lot]) =>
      watchLot(subject, lot, exposures, actions, lotsTestedBy, settings, asOf),
    ),
  );
  return episodes.sort((a, b) => instantMs(a.raisedAt) - instantMs(b.raisedAt) || (a.key < b.key ? -1 : 1));
}

function lotsOf(exposures: readonly Exposure[]): Map<string, Exposure[]> {
  const lots = new Map<string, Exposure[]>();
  for (const exposure of exposures) {
    if (exposure.fitting.lot === null) continue;
    lots.set(exposure.subject, [...(lots.get(exposure.subject) ?? []), exposure]);
  }
  return lots;
}

function watchLot(
  subject: string,
  lot: readonly Exposure[],
  all: readonly Exposure[],
  actions: readonly AlertActionFact[],
  lotsTestedBy: (ms: number) => number,
  settings: LossSettings,
  asOf: string,
): LossAlertEpisode[] {
  const cleared: LossAlertEpisode[] = [];
  let open: LossAlertEpisode | null = null;
  let clearedMs = -Infinity;
  for (const { ms, action } of inTurn(lot, actions, instantMs(asOf))) {
    if (action !== null) {
      if (open === null || !isMeant(open, action.alertKey)) continue;
      const after = act(open, action);
      if (after.status === 'cleared') {
        cleared.push(after);
        clearedMs = ms;
      }
      open = after.status === 'cleared' ? null : after;
      continue;
    }
    const fresh = (exposures: readonly Exposure[]) =>
      cleared.length === 0
        ? exposures
        : exposures.filter((exposure) => exposure.alertMs === null || exposure.alertMs > clearedMs);
    const judged = judgeLot(fresh(lot), fresh(all), lotsTestedBy(ms), ms, settings);
    if (judged === null) continue;
    const { finding, members } = judged;
    const raised = () =>
      raise({
        kind: 'part-cohort',
        vehicleId: null,
        finding,
        raisedAt: new Date(ms).toISOString(),
        returned: ms - clearedMs <= settings.returnDays * MS_PER_DAY,
        subject: `${subject}:`,
        before: cleared,
      });
    open = open === null ? raised() : join(open, finding);
    open = { ...open, members: [...new Set([...open.members, ...members])].sort() };
  }
  return open === null ? cleared : [...cleared, asOfInstant(open, asOf)];
}

/** The alerts of a batch's vehicles and what people did, in time order. */
function inTurn(
  lot: readonly Exposure[],
  actions: readonly AlertActionFact[],
  asOfMs: number,
): { ms: number; action: AlertActionFact | null }[] {
  const alertTimes = lot.flatMap((exposure) =>
    exposure.alertMs !== null && exposure.alertMs <= asOfMs ? [exposure.alertMs] : [],
  );
  return [
    ...alertTimes.map((ms) => ({ ms, action: null })),
    ...actions.map((action) => ({ ms: instantMs(action.at), action })),
  ].sort((a, b) => a.ms - b.ms || Number(a.action !== null) - Number(b.action !== null));
}
