import { STARTER_INTERVAL } from '../../domain/evaluation/starter-mark.js';
import { visitHours } from '../../domain/visits/labour-hours.js';
import { gapOf } from '../../domain/visits/gap.js';
import type { Message } from '../../domain/message.js';
import { shownMessage } from '../../platform/words/shown-messages.js';
import { addCosts } from './proposal.js';
import type {
  LineLeftView,
  PlannedLineView,
  PlannedVisitView,
  VisitPlanSummary,
  VisitPlanView,
} from './visit-plan.dto.js';
import type { VisitPlan } from '../../entities/visit-plan.entity.js';
import type { PlannedLineRow, PlannedVisitRow } from './visit-plans.queries.js';

export function summaryOf(plan: VisitPlan): VisitPlanSummary {
  const {
    id,
    state,
    labourRate,
    downtimeCostPerDay,
    latenessCostPerDay,
    changedSinceSolved,
    problem,
    version,
  } = plan;
  return {
    ...{ id, state, from: plan.fromOn, to: plan.toOn, depotIds: plan.depotIds },
    ...{ labourRate, downtimeCostPerDay, latenessCostPerDay },
    requestedAt: plan.requestedAt.toISOString(),
    solvedAt: plan.solvedAt?.toISOString() ?? null,
    confirmedAt: plan.confirmedAt?.toISOString() ?? null,
    progress: {
      share: shareOf(plan),
      depots: plan.depots.map((depot) => ({ ...depot, note: depot.note && shownMessage(depot.note) })),
    },
    ...{ changedSinceSolved, problem: problem && shownMessage(problem), version },
  };
}

function shareOf({ state, depots }: VisitPlan): number {
  if (state === 'solved' || state === 'confirmed') return 1;
  const lines = depots.reduce((sum, depot) => sum + depot.lines, 0);
  const solved = depots.reduce((sum, depot) => sum + (depot.state === 'solved' ? depot.lines : 0), 0);
  return lines === 0 ? 0 : solved / lines;
}

/**
 * A plan with its visits. While the plan is being solved again, its earlier visits are hidden,
 * because they may soon be replaced.
 */
export function planView(plan: VisitPlan, visits: PlannedVisitRow[], lines: PlannedLineRow[]): VisitPlanView {
  const isSolved = plan.state === 'solved' || plan.state === 'confirmed';
  const empty = { gap: null, cost: null, costOnDueDays: null, visits: [], leftForLater: [] };
  if (!isSolved) return { ...summaryOf(plan), ...empty };
  const cost = [...visits, ...lines].reduce(
    (sum, { cost: each }) => addCosts(sum, each ?? undefined),
    addCosts(),
  );
  const byVisit = new Map<string, PlannedLineRow[]>();
  for (const line of lines) {
    if (line.plannedVisitId === null) continue;
    const own = byVisit.get(line.plannedVisitId);
    if (own) own.push(line);
    else byVisit.set(line.plannedVisitId, [line]);
  }
  return {
    ...summaryOf(plan),
    gap: plan.changedSinceSolved ? null : gapOf(cost.total, plan.bound),
    cost,
    costOnDueDays: plan.costOnDueDays,
    visits: visits.map((visit) => plannedVisitView(visit, byVisit.get(visit.id) ?? [])),
    leftForLater: lines.flatMap((line) => (line.reason === null ? [] : [lineLeftView(line, line.reason)])),
  };
}

export function plannedVisitView(visit: PlannedVisitRow, lines: PlannedLineRow[]): PlannedVisitView {
  const { id, vehicleId, unitNumber, depotId, day, hours, cost, isPinned, isDropped, version } = visit;
  return {
    ...{ id, vehicle: { id: vehicleId, unitNumber }, depotId, day, hours, cost },
    ...{ pinned: isPinned, dropped: isDropped, lines: lines.map(lineView), version },
  };
}

function lineView(line: PlannedLineRow): PlannedLineView {
  const { dueLineId, component, action, item, windowOpensOn, dueOn, lateOn, labour, isAtOnce } = line;
  return {
    ...{ dueLineId, component, action, item, windowOpensOn, dueOn },
    circuit: line.circuit ?? undefined,
    lateOn: lateOn === 'infinity' ? null : lateOn,
    hoursAlone: visitHours([{ labour }]),
    atOnce: isAtOnce,
    basis: line.isStarter ? [shownMessage(STARTER_INTERVAL)] : [],
  };
}

function lineLeftView(line: PlannedLineRow, reason: Message): LineLeftView {
  const { vehicleId, unitNumber, cost } = line;
  return {
    ...lineView(line),
    vehicle: { id: vehicleId, unitNumber },
    reason: shownMessage(reason),
    cost,
  };
}
