import { openDefect, standingOf } from '../defects/defect.js';
import { followUpLine } from '../follow-ups/follow-up-line.js';
import { followUpsOf } from '../follow-ups/follow-ups.js';
import type { FollowUpReading } from '../follow-ups/settling.js';
import type { FollowUpJob } from '../intervals/types.js';
import { circuitOfFaults } from '../vehicles/circuits.js';
import { inUseSince } from './baselines.js';
import type { ConcludedUsage } from './conclude-usage.js';
import { concludedLine, identityOf, NOT_DONE } from './concluded-line.js';
import { postponementOf } from './postponements.js';
import { standingReEvaluations } from './re-evaluate.js';
import { readingsReleasedWith } from './released-with.js';
import type { ConcludedLine } from './stored-line.js';
import type { Position, VehicleHistory } from './vehicle-history.js';

/**
 * One due line for each open follow-up; none where the readings were not loaded.
 *
 * @param history its jobs, readings, re-evaluations, faults, hot days and defects placed on its
 * usage
 */
export function followUpLines(
  history: VehicleHistory,
  { distance, engineHours }: ConcludedUsage,
  timeZone: string,
): ConcludedLine[] {
  if (history.readings === null || history.status === 'disposed') return [];
  const facts = followUpFacts(history);
  const released = readingsReleasedWith(history);
  const positions = new Map<string, Position>(
    [
      ...[...history.jobs, ...history.readings, ...history.reEvaluations],
      ...[...history.faults, ...history.hotDays, ...history.defects],
    ].map((fact) => [fact.id, fact]),
  );
  const reported = {
    ...{ faults: history.faults, hotDays: history.hotDays, circuit: circuitOfFaults(history.circuits) },
    defects: history.defects.flatMap((defect) => openDefect(defect, standingOf(defect, history.jobs)) ?? []),
  };
  return followUpsOf(facts.jobs, facts.readings, reported).flatMap((seed): ConcludedLine[] => {
    // A worse finding begins another cycle: people are told again, and an earlier postponement
    // ends. So does a fault that is seen again after what would have settled it.
    const { worstSourceId, seenAgainAfter } = seed;
    const cycle = seenAgainAfter === null ? worstSourceId : `${worstSourceId} ${seenAgainAfter}`;
    const position = positions.get(seenAgainAfter ?? worstSourceId);
    const identity = identityOf(history, seed, 'follow-up', seed.sourceId);
    const postponement = postponementOf(history, identity, cycle);
    const point = followUpLine(seed, {
      status: history.status,
      inUseSince: inUseSince(history),
      odometerLifetimeKmAtOpening: position?.odometerLifetimeKm ?? null,
      engineHoursLifetimeAtOpening: position?.engineHoursLifetime ?? null,
      postponement,
      distance,
      engineHours,
      timeZone,
    });
    if (point === null) return [];
    const line = concludedLine(identity, NOT_DONE, point, { cycle, isPostponed: postponement !== null });
    const openedBy = [...new Set(seed.causes.map(({ sourceId }) => sourceId))];
    const releasedWith = openedBy.filter((id) => released.has(id));
    return [
      {
        ...line,
        ...{ isAtOnce: seed.urgency === 'at-once', causes: [...seed.told], openedBy },
        releasedWith: releasedWith.length === 0 ? null : releasedWith,
      },
    ];
  });
}

/** The jobs and readings of a vehicle as the follow-up rules take them. */
function followUpFacts(history: VehicleHistory): { jobs: FollowUpJob[]; readings: FollowUpReading[] } {
  const jobs = history.jobs.map(({ id, at, lines, isBaseline }) => ({ id, at, lines, isBaseline }));
  const readings: readonly FollowUpReading[] = history.readings ?? [];
  const byId = new Map(readings.map((reading) => [reading.id, reading]));
  const judgedAnew = standingReEvaluations(history).flatMap(
    ({ id, readingId, at, evaluation }): FollowUpReading[] => {
      const reading = byId.get(readingId);
      return reading === undefined
        ? []
        : [{ ...reading, id, jobId: null, position: null, at, evaluation, isJudgedAnew: true }];
    },
  );
  return { jobs, readings: [...readings, ...judgedAnew] };
}
