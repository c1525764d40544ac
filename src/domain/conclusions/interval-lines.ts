import { dueLineOf } from '../intervals/due-line.js';
import { lastReset, lineKey } from '../intervals/resets.js';
import { resolveRule } from '../intervals/resolve-rule.js';
import type {
  Baseline,
  Duty,
  IntervalRule,
  ResolvedRule,
  RuleInForce,
  WorkLine,
} from '../intervals/types.js';
import { baselineOf, inServiceOf, inUseSince } from './baselines.js';
import type { ConcludedUsage } from './conclude-usage.js';
import { concludedLine, type Done, identityOf } from './concluded-line.js';
import { NeedsAllFacts } from './counter-view.js';
import { intervalsIn } from './intervals-in-circuits.js';
import { postponementOf } from './postponements.js';
import { type ConcludedLine, rounded } from './stored-line.js';
import type { Plans, VehicleHistory } from './vehicle-history.js';

/**
 * One due line for each interval in force.
 *
 * @param history its jobs placed on its usage
 * @throws NeedsAllFacts where neither the jobs were loaded nor a line says when the work was last
 * done
 */
export function intervalLines(
  history: VehicleHistory,
  plans: Plans,
  { distance, engineHours }: ConcludedUsage,
  timeZone: string,
): ConcludedLine[] {
  const lines: ConcludedLine[] = [];
  for (const { line, rules, isStarter } of rulesOf(history, plans)) {
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
      odometerLifetimeKm: rounded(baseline?.odometerLifetimeKm ?? null),
      engineHoursLifetime: rounded(baseline?.engineHoursLifetime ?? null),
      jobId,
    };
    const isPostponed = postponement !== null;
    lines.push(concludedLine(identity, done, concluded, { cycle, isPostponed, isStarter }));
  }
  return lines;
}

interface LineRules {
  line: WorkLine;
  rules: RuleInForce[];
  /** The one in force now is ready-made, and nobody has confirmed or replaced it. */
  isStarter: boolean;
}

const resolved = new WeakMap<IntervalRule, Partial<Record<Duty, ResolvedRule>>>();

/** As `resolveRule`, once for all the vehicles that are concluded together. */
function resolvedRule(interval: IntervalRule, duty: Duty): ResolvedRule {
  let known = resolved.get(interval);
  if (known === undefined) resolved.set(interval, (known = {}));
  return (known[duty] ??= resolveRule(interval, duty));
}

/**
 * Each interval that any plan of the vehicle ever had for its circuits, with the rule in force from
 * each change on.
 */
function rulesOf(history: VehicleHistory, plans: Plans): LineRules[] {
  const byKey = new Map<string, LineRules>();
  const intervalsOf = (planId: string | null) => intervalsIn(history, plans, planId);
  for (const { planId } of history.assignments) {
    for (const { component, action, item, circuit } of intervalsOf(planId)) {
      const line = { component, action, item, circuit };
      if (!byKey.has(lineKey(line))) byKey.set(lineKey(line), { line, rules: [], isStarter: false });
    }
  }
  for (const known of byKey.values()) {
    const key = lineKey(known.line);
    for (const { effectiveOn, planId, duty } of history.assignments) {
      const interval = intervalsOf(planId).find((candidate) => lineKey(candidate) === key);
      known.rules.push({ from: effectiveOn, rule: interval ? resolvedRule(interval, duty) : null });
      known.isStarter = interval?.isStarter ?? false;
    }
  }
  return [...byKey.values()];
}

/**
 * The job that an interval counts from, with its counters; without a job, the in-service date.
 */
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

/** As shown by the due line. @throws NeedsAllFacts where there is none */
function lastDoneAsStored(history: VehicleHistory, line: WorkLine): LastDone {
  const stored = history.lines.find(
    ({ origin, isOpen, component, action, item, circuit }) =>
      origin === 'interval' &&
      isOpen &&
      component === line.component &&
      action === line.action &&
      item === line.item &&
      circuit === (line.circuit ?? null),
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
