import { civilDateAt } from '../domain/calendar/zone.js';
import { dueLineOf } from '../domain/intervals/due-line.js';
import { followUpLine } from '../domain/follow-ups/follow-up-line.js';
import { followUpsOf } from '../domain/follow-ups/follow-ups.js';
import { lastReset, lineKey } from '../domain/intervals/resets.js';
import { resolveRule } from '../domain/intervals/resolve-rule.js';
import type { FollowUpReading } from '../domain/follow-ups/settling.js';
import type {
  Baseline,
  CounterOutlook,
  DuePoint,
  Duty,
  FollowUpJob,
  IntervalRule,
  NoBaseline,
  ResolvedRule,
  RuleInForce,
  WorkLine,
} from '../domain/intervals/types.js';
import type { ConcludedUsage } from './conclude-usage.js';
import { type CounterView, NeedsAllFacts } from './counter-view.js';
import type { ConcludedLine, JobRecord, Plans, Position, VehicleHistory } from './history.js';
import { postponementOf, reminderCycle } from './postponements.js';
import { readingsReleasedWith } from './released-with.js';
import { standingReEvaluations } from './re-evaluate.js';

export const NEVER = 'infinity';
/** Beyond this a projected date says nothing more than "not in the life of this vehicle". */
const HORIZON = '2400-01-01';

/** Rounded so that two ways to the same number end in the same stored value, and a stored one counts like the one it came from. */
const round = (value: number | null): number | null =>
  value === null ? null : Math.round(value * 1e6) / 1e6;

const within = (date: string | null): string | null =>
  date !== null && date < HORIZON && /^\d{4}-/.test(date) ? date : null;

/** The due lines of a vehicle: one for each interval in force, and one for each open follow-up. */
export function concludeLines(
  history: VehicleHistory,
  plans: Plans,
  usage: ConcludedUsage,
  timeZone: string,
): ConcludedLine[] {
  const distance = outlookOf(usage.distance);
  const engineHours = outlookOf(usage.engineHours);
  const lines: ConcludedLine[] = [];
  for (const { line, rules } of rulesOf(history, plans)) {
    const identity = identityOf(history, line, 'interval', '');
    const isAsked = history.status !== 'disposed' && rules.at(-1)?.rule != null;
    const { jobId, baseline } =
      history.readings === null && isAsked
        ? lastDoneAsStored(history, line)
        : lastDone(history, line, timeZone);
    const cycle = jobId ?? 'in-service';
    const postponement = postponementOf(history, identity, cycle);
    const concluded = dueLineOf({
      rules,
      baseline,
      scheduleOrigin: inServiceOf(history),
      status: history.status,
      inUseSince: inUseSince(history),
      inUseMonths: history.inUseMonths,
      postponement,
      distance,
      engineHours,
      timeZone,
    });
    if (concluded === null) continue;
    const done: Done = {
      on: baseline?.on ?? null,
      odometerLifetimeKm: round(baseline?.odometerLifetimeKm ?? null),
      engineHoursLifetime: round(baseline?.engineHoursLifetime ?? null),
      jobId,
    };
    lines.push(asLine(identity, done, concluded, { cycle, isPostponed: postponement !== null }));
  }
  return history.readings === null
    ? lines
    : [...lines, ...followUpLines(history, distance, engineHours, timeZone)];
}

function followUpLines(
  history: VehicleHistory,
  distance: CounterOutlook,
  engineHours: CounterOutlook,
  timeZone: string,
): ConcludedLine[] {
  if (history.status === 'disposed') return [];
  const facts = followUpFacts(history);
  const released = readingsReleasedWith(history);
  const positions = new Map<string, Position>(
    [...history.jobs, ...(history.readings ?? []), ...history.reEvaluations].map((fact) => [fact.id, fact]),
  );
  return followUpsOf(facts.jobs, facts.readings).flatMap((seed): ConcludedLine[] => {
    // A worse finding begins another cycle: it is told anew, and what was put off before it is due
    // again.
    const cycle = seed.worstSourceId;
    const position = positions.get(cycle);
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
    const line = asLine(identity, NOT_DONE, point, { cycle, isPostponed: postponement !== null });
    const openedBy = [...new Set(seed.causes.map(({ sourceId }) => sourceId))];
    const releasedWith = openedBy.filter((id) => released.has(id));
    return [
      {
        ...line,
        ...{ isAtOnce: seed.urgency === 'at-once', cause: seed.cause, openedBy },
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
        : [{ id, jobId: null, at, canonical: reading.canonical, evaluation, isJudgedAnew: true }];
    },
  );
  return { jobs, readings: [...readings, ...judgedAnew] };
}

interface LineRules {
  line: WorkLine;
  rules: RuleInForce[];
}

const resolved = new WeakMap<IntervalRule, Partial<Record<Duty, ResolvedRule>>>();

/** As `resolveRule`, once for all the vehicles that are concluded together. */
function resolvedRule(interval: IntervalRule, duty: Duty): ResolvedRule {
  let known = resolved.get(interval);
  if (known === undefined) resolved.set(interval, (known = {}));
  return (known[duty] ??= resolveRule(interval, duty));
}

/** Each interval that any plan of the vehicle ever had, with the rule in force from each change on. */
function rulesOf(history: VehicleHistory, plans: Plans): LineRules[] {
  const byKey = new Map<string, LineRules>();
  const intervalsOf = (planId: string | null) => (planId === null ? [] : (plans.get(planId) ?? []));
  for (const { planId } of history.assignments) {
    for (const { component, action, item } of intervalsOf(planId)) {
      const line = { component, action, item };
      if (!byKey.has(lineKey(line))) byKey.set(lineKey(line), { line, rules: [] });
    }
  }
  for (const { line, rules } of byKey.values()) {
    const key = lineKey(line);
    for (const { effectiveOn, planId, duty } of history.assignments) {
      const interval = intervalsOf(planId).find((candidate) => lineKey(candidate) === key);
      rules.push({ from: effectiveOn, rule: interval ? resolvedRule(interval, duty) : null });
    }
  }
  return [...byKey.values()];
}

function outlookOf(view: CounterView): CounterOutlook {
  return {
    rate: view.rate,
    last: view.last,
    crossedAt: (value) => view.crossedAt(value),
    valueAt: (at) => view.valueAt(at),
  };
}

type Identity = Pick<
  ConcludedLine,
  'vehicleId' | 'unitNumber' | 'depotId' | 'component' | 'action' | 'item' | 'origin' | 'originKey'
>;

function identityOf(
  { vehicleId, unitNumber, depotId }: VehicleHistory,
  { component, action, item }: WorkLine,
  origin: ConcludedLine['origin'],
  originKey: string,
): Identity {
  return { vehicleId, unitNumber, depotId, component, action, item, origin, originKey };
}

/** From which job an interval counts, and where that stood; without one from the in-service date. */
interface LastDone {
  jobId: string | null;
  baseline: Baseline | null;
}

function lastDone(history: VehicleHistory, line: WorkLine, timeZone: string): LastDone {
  const job = lastReset(history.jobs, line);
  return {
    jobId: job?.id ?? null,
    baseline: job === null ? inServiceOf(history) : baselineOf(job, timeZone),
  };
}

/** As the due line tells it. @throws NeedsAllFacts where there is none */
function lastDoneAsStored(history: VehicleHistory, line: WorkLine): LastDone {
  const stored = history.lines.find(
    ({ origin, isOpen, component, action, item }) =>
      origin === 'interval' &&
      isOpen &&
      component === line.component &&
      action === line.action &&
      item === line.item,
  );
  if (stored === undefined) throw new NeedsAllFacts();
  const { lastDoneReportId: jobId, lastDoneOn: on } = stored;
  if (jobId === null || on === null) return { jobId: null, baseline: inServiceOf(history) };
  return {
    jobId,
    baseline: {
      kind: 'job',
      on,
      odometerLifetimeKm: stored.lastDoneOdometerLifetimeKm,
      engineHoursLifetime: stored.lastDoneEngineHoursLifetime,
    },
  };
}

/** What an interval counts from after a job. */
export function baselineOf(job: JobRecord, timeZone: string): Baseline {
  return {
    kind: 'job',
    on: civilDateAt(job.at, timeZone),
    odometerLifetimeKm: round(job.odometerLifetimeKm),
    engineHoursLifetime: round(job.engineHoursLifetime),
  };
}

/** What a vehicle's intervals count from before any job; null when it is not known. */
export function inServiceOf(history: VehicleHistory): Baseline | null {
  if (history.inServiceOn === null) return null;
  return {
    kind: 'in-service',
    on: history.inServiceOn,
    odometerLifetimeKm: history.inServiceOdometerKm,
    engineHoursLifetime: history.inServiceEngineHours,
  };
}

/** The day the vehicle came back into use, when it was laid up; null when it never was. */
function inUseSince(history: VehicleHistory): string | null {
  const lastRest = history.assignments.findLastIndex((assignment) => assignment.status === 'laid-up');
  return lastRest === -1 ? null : (history.assignments[lastRest + 1]?.effectiveOn ?? null);
}

/** When the work of a line was last done, and at what usage. */
interface Done extends Position {
  on: string | null;
  jobId: string | null;
}

const NOT_DONE: Done = { on: null, odometerLifetimeKm: null, engineHoursLifetime: null, jobId: null };

/**
 * A line as it is stored: its dates, the cycle as reminders know it, and until when a manager put it off. Every field by name: spread from parts, the
 * lines of a batch would take longer than what they say.
 */
function asLine(
  identity: Identity,
  done: Done,
  concluded: DuePoint | NoBaseline,
  { cycle, isPostponed }: { cycle: string; isPostponed: boolean },
): ConcludedLine {
  const point = concluded.state === 'dated' ? concluded : null;
  const dueOn = point && within(point.dueOn);
  const isPutOff = isPostponed && point !== null;
  return {
    vehicleId: identity.vehicleId,
    unitNumber: identity.unitNumber,
    depotId: identity.depotId,
    component: identity.component,
    action: identity.action,
    item: identity.item,
    origin: identity.origin,
    originKey: identity.originKey,
    isOpen: true,
    noBaseline: point === null,
    windowOpensOn: (point && within(point.windowOpensOn)) ?? dueOn ?? NEVER,
    dueOn: dueOn ?? NEVER,
    lateOn: (point && within(point.lateOn)) ?? NEVER,
    lateLapsesOn: point && within(point.lateLapsesOn),
    lateForGoodOn: point && within(point.lateForGoodOn),
    earliestOn: point && within(point.earliestOn),
    latestOn: point && within(point.latestOn),
    trigger: dueOn === null ? null : (point?.trigger ?? null),
    dueOdometerLifetimeKm: point && round(point.dueAt.odometerLifetimeKm),
    dueEngineHoursLifetime: point && round(point.dueAt.engineHoursLifetime),
    dueDate: point && within(point.dueAt.on),
    lastDoneOn: done.on,
    lastDoneOdometerLifetimeKm: done.odometerLifetimeKm,
    lastDoneEngineHoursLifetime: done.engineHoursLifetime,
    lastDoneReportId: done.jobId,
    cycle: reminderCycle(cycle, isPutOff),
    staleOn: point && within(point.staleOn),
    needsReading: point?.needsReading ?? false,
    postponedUntil: isPutOff ? dueOn : null,
    isAtOnce: false,
    cause: null,
    openedBy: null,
    releasedWith: null,
  };
}
