import { v7 as uuidv7 } from 'uuid';
import { civilDateOf } from '../../domain/calendar/civil-date.js';
import { labourOf, visitHours } from '../../domain/visits/labour-hours.js';
import { reasonsLeftOut } from '../../domain/visits/left-out.js';
import type { Message } from '../../domain/message.js';
import type { CostSplit, LineToPlan } from '../../domain/visits/types.js';
import { visitCost, visitsOf } from '../../domain/visits/visit-cost.js';
import type { Decision, DepotProblem } from './depot-problems.js';
import type { DepotPlan } from './solve-depot.js';
import type { LineRow, PlannedVisitRow, ProposedLine, ProposedVisit } from './visit-plans.queries.js';

export interface Proposal {
  visits: ProposedVisit[];
  lines: ProposedLine[];
}

const NOTHING: CostSplit = { labour: 0, downtime: 0, lifeThrownAway: 0, lateness: 0, total: 0 };

export function addCosts(a: CostSplit = NOTHING, b: CostSplit = NOTHING): CostSplit {
  return {
    labour: a.labour + b.labour,
    downtime: a.downtime + b.downtime,
    lifeThrownAway: a.lifeThrownAway + b.lifeThrownAway,
    lateness: a.lateness + b.lateness,
    total: a.total + b.total,
  };
}

/** The cost of doing each of the lines later, in a visit of its own. */
export function costLeftOut(
  lines: readonly LineToPlan[],
  { dayAfter, rates }: DepotProblem['problem'],
): CostSplit {
  return lines.map((line) => visitCost([line], dayAfter, rates)).reduce(addCosts, NOTHING);
}

/**
 * A depot's plan in the form in which it is stored. Visits that a manager has decided about keep
 * their ids.
 */
export function proposalOf(
  { depot, problem, dropped, rows }: DepotProblem & { rows: readonly LineRow[] },
  { assignment }: DepotPlan,
  { kept, decided }: { kept: ReadonlyMap<string, PlannedVisitRow>; decided: ReadonlyMap<string, Decision> },
): Proposal & { droppedCost: number } {
  const rowOf = new Map(rows.map((row) => [row.id, row]));
  const reasons = reasonsLeftOut(problem, assignment);
  const visits: ProposedVisit[] = [];
  const lines: ProposedLine[] = [];
  const place = (line: LineToPlan, where: Place): void => {
    const row = rowOf.get(line.id);
    if (row) lines.push({ ...storedLine(row, line), ...where });
  };
  const propose = (visit: ProposedVisit, together: readonly LineToPlan[]): void => {
    visits.push(visit);
    for (const line of together) place(line, { plannedVisitId: visit.id, reason: null, cost: null });
  };
  for (const { day, planned, lines: together } of visitsOf(problem, assignment)) {
    const [first] = together;
    if (!first) continue;
    const cost = visitCost(together, day, problem.rates);
    if (!planned) {
      place(first, { plannedVisitId: null, reason: reasons.get(first.id) ?? null, cost });
      continue;
    }
    const pinned = together.find(
      ({ id, fixedOn }) => fixedOn !== null && isDecidedHere(decided.get(id), depot.id),
    );
    const before = pinned && kept.get(decided.get(pinned.id)?.visitId ?? '');
    const visit = {
      ...{ id: before?.id ?? uuidv7(), vehicleId: first.vehicleId, depotId: depot.id, day: civilDateOf(day) },
      ...{ hours: visitHours(together), cost, isPinned: pinned !== undefined, isDropped: false },
      version: (before?.version ?? 0) + 1,
    };
    propose(visit, together);
  }
  let droppedCost = 0;
  for (const visit of kept.values()) {
    const together = dropped.filter(({ id }) => decided.get(id)?.visitId === visit.id);
    if (together.length === 0) continue;
    const cost = costLeftOut(together, problem);
    droppedCost += cost.total;
    propose({ ...visit, hours: visitHours(together), cost, version: visit.version + 1 }, together);
  }
  return { visits, lines, droppedCost };
}

/**
 * Whether a manager has fixed the line's day at this depot. It is no decision if the planner itself
 * fixed the day, or if it was fixed for another depot.
 */
const isDecidedHere = (decision: Decision | undefined, depotId: string): boolean =>
  decision?.depotId === depotId && decision.day !== null;

type Place = Pick<ProposedLine, 'plannedVisitId' | 'reason' | 'cost'>;

function storedLine(row: LineRow, { labour }: Pick<LineToPlan, 'labour'>): Omit<ProposedLine, keyof Place> {
  const { id: dueLineId, vehicleId, windowOpensOn, dueOn, lateOn, countsFrom } = row;
  return { dueLineId, vehicleId, windowOpensOn, dueOn, lateOn, countsFrom, labour };
}

/** A line that no depot could plan. */
export function withoutPlace({ row, reason }: { row: LineRow; reason: Message }): ProposedLine {
  return {
    ...storedLine(row, { labour: labourOf(row, row.labour) }),
    ...{ plannedVisitId: null, reason, cost: null },
  };
}
