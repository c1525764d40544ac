import { type BeforeApplicationShutdown, Injectable, Logger } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, In } from 'typeorm';
import { Depot } from '../../entities/depot.entity.js';
import { civilDateAt, MS_PER_DAY } from '../../domain/calendar/zone.js';
import { costOnDueDays } from '../../domain/visits/visit-cost.js';
import type { Message } from '../../domain/message.js';
import type { CostSplit } from '../../domain/visits/types.js';
import { workForFleet } from '../../register/fleets/fleet-work.js';
import { Clock } from '../../platform/clock/clock.js';
import { Config } from '../../platform/config/config.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { IN_LOGS, textOf } from '../../platform/words/render.js';
import { Transactions } from '../../platform/database/transactions.js';
import { type Decision, type DepotProblem, problemOf } from './depot-problems.js';
import { message } from './messages.js';
import { addCosts, type Proposal, proposalOf, withoutPlace } from './proposal.js';
import { type DepotPlan, solveDepot } from './solve-depot.js';
import {
  hoursTaken,
  type LineRow,
  linesToPlan,
  plannedLineRows,
  type PlannedVisitRow,
  plannedVisitRows,
  removeOldPlans,
  replaceProposal,
} from './visit-plans.queries.js';
import { type DepotOutcome, VisitPlan } from '../../entities/visit-plan.entity.js';

/** A plan with more lines than this would be too large for anybody to read. */
export const MOST_LINES = 10_000;
/** A round that was begun this often without ending is assumed to crash its worker. */
const MOST_ATTEMPTS = 3;
const MEMORY_MB = 1024;
const KEPT_DAYS = 90;

interface Known {
  problems: (DepotProblem & { rows: LineRow[] })[];
  /** Lines that no depot can plan, and why. */
  placeless: { row: LineRow; reason: Message }[];
  /** The visits that a manager has decided about, by id. */
  kept: ReadonlyMap<string, PlannedVisitRow>;
  decided: ReadonlyMap<string, Decision>;
}

/** Solves visit plans. Runs in the worker only. */
@Injectable()
export class PlanSolvingService implements BeforeApplicationShutdown {
  private readonly logger = new Logger('visit plans');
  private readonly stopping = new AbortController();

  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly clock: Clock,
    private readonly config: Config,
  ) {}

  beforeApplicationShutdown(): void {
    this.stopping.abort();
  }

  /**
   * Solves one round of a plan. Safe to repeat, because a round is answered once.
   *
   * @throws Error when the service is stopping; the round is then begun again
   */
  async solve(fleetId: string, planId: string, round: number): Promise<void> {
    await workForFleet(this.dataSource, fleetId, async () => {
      const plan = await this.begin(planId, round);
      if (plan === null) return;
      const known = await this.load(plan);
      if (known === null) {
        await this.fail(plan, message('plan-too-many-lines', { most: MOST_LINES, to: plan.toOn }));
        return;
      }
      const solved = await this.solveDepots(plan, known);
      if (this.stopping.signal.aborted) throw new Error('the service is stopping; the plan is solved later');
      await this.write(plan, known, solved);
    });
  }

  private async begin(id: string, round: number): Promise<VisitPlan | null> {
    const { fleetId } = fleetScope();
    return this.transactions.write(async (tx) => {
      const plan = await tx.findOne(VisitPlan, {
        where: { fleetId, id, round },
        lock: { mode: 'for_no_key_update' },
      });
      if (plan === null || !['waiting', 'solving'].includes(plan.state)) return null;
      const isGivenUp = plan.attempts >= MOST_ATTEMPTS;
      const problem = message('plan-given-up', { times: MOST_ATTEMPTS });
      const changed = isGivenUp
        ? { state: 'failed' as const, problem, version: plan.version + 1 }
        : { state: 'solving' as const, attempts: plan.attempts + 1 };
      await tx.update(VisitPlan, { fleetId, id }, changed);
      return isGivenUp ? null : Object.assign(plan, changed);
    });
  }

  /** Loads the data for a plan. Null when there are too many lines. */
  private async load(plan: VisitPlan): Promise<Known | null> {
    const { fleetId, timeZone } = fleetScope();
    const { manager } = this.dataSource;
    const rows = await linesToPlan(manager, fleetId, plan, MOST_LINES + 1);
    if (rows.length > MOST_LINES) return null;
    const today = civilDateAt(this.clock.now().getTime(), timeZone);
    const from = plan.fromOn > today ? plan.fromOn : today;
    const { kept, decided } = await this.decisions(plan, today);
    const byDepot = new Map<string | null, LineRow[]>();
    for (const row of rows) {
      const own = byDepot.get(row.depotId);
      if (own) own.push(row);
      else byDepot.set(row.depotId, [row]);
    }
    const ids = [...byDepot.keys()].filter((id) => id !== null);
    const depots = await manager.find(Depot, { where: { fleetId, id: In(ids) }, order: { name: 'ASC' } });
    const taken = await hoursTaken(manager, fleetId, ids, { from, to: plan.toOn });
    const problems: Known['problems'] = [];
    const placeless = (byDepot.get(null) ?? []).map((row) => ({
      row,
      reason: message('visit-left-no-depot'),
    }));
    for (const depot of depots) {
      const own = byDepot.get(depot.id) ?? [];
      const takenHere = taken.filter(({ depotId }) => depotId === depot.id);
      const takenOn = new Map(takenHere.map(({ day, hours }) => [day, hours]));
      const found = problemOf(plan, depot, own, decided, takenOn, from);
      if (found) problems.push({ ...found, rows: own });
      else placeless.push(...own.map((row) => ({ row, reason: message('visit-left-depot-closed') })));
    }
    return { problems, placeless, kept, decided };
  }

  /**
   * Returns a manager's decisions on the visits that the plan proposed before. Pinned days in the
   * past are ignored.
   */
  private async decisions(plan: VisitPlan, today: string): Promise<Pick<Known, 'kept' | 'decided'>> {
    const { fleetId } = fleetScope();
    const { manager } = this.dataSource;
    const visits = await plannedVisitRows(manager, fleetId, plan.id);
    const kept = new Map(
      visits
        .filter(({ isPinned, isDropped, day }) => isDropped || (isPinned && day >= today))
        .map((visit) => [visit.id, visit]),
    );
    const decided = new Map<string, Decision>();
    if (kept.size === 0) return { kept, decided };
    for (const { dueLineId, plannedVisitId } of await plannedLineRows(manager, fleetId, plan.id)) {
      const visit = kept.get(plannedVisitId ?? '');
      if (!visit) continue;
      const { id: visitId, depotId, day, isDropped } = visit;
      decided.set(dueLineId, { visitId, depotId, day: isDropped ? null : day });
    }
    return { kept, decided };
  }

  /** Solves one depot after the other. Time that one depot leaves unused goes to the others. */
  private async solveDepots(plan: VisitPlan, { problems }: Known): Promise<DepotPlan[]> {
    const { fleetId } = fleetScope();
    const outcomes = problems.map(({ depot, rows }): DepotOutcome => ({
      ...{ depotId: depot.id, name: depot.name, lines: rows.length },
      ...{ state: 'waiting', by: null, cost: null, gap: null, note: null },
    }));
    const { id } = plan;
    await this.dataSource.manager.update(VisitPlan, { fleetId, id }, { depots: outcomes });
    const { visitPlanSeconds, visitPlanGoalPercent } = this.config;
    const until = performance.now() + visitPlanSeconds * 1000;
    const solved: DepotPlan[] = [];
    let linesLeft = problems.reduce((sum, { problem }) => sum + problem.lines.length, 0);
    for (const [i, { problem, depot }] of problems.entries()) {
      if (this.stopping.signal.aborted) return solved;
      const secondsLeft = Math.max(0, (until - performance.now()) / 1000);
      const seconds = Math.max(1, (secondsLeft * problem.lines.length) / Math.max(1, linesLeft));
      linesLeft -= problem.lines.length;
      const answer = await solveDepot(
        problem,
        { seconds, gap: visitPlanGoalPercent / 100, memoryMb: MEMORY_MB },
        this.stopping.signal,
      );
      const { by, cost, gap, note } = answer;
      if (note !== null) this.logger.log(`plan ${id}, depot ${depot.id}: ${textOf(note, IN_LOGS)}`);
      solved.push(answer);
      outcomes[i] = { ...(outcomes[i] as DepotOutcome), state: 'solved', by, cost, gap, note };
      await this.dataSource.manager.update(VisitPlan, { fleetId, id }, { depots: outcomes });
    }
    return solved;
  }

  private async write(plan: VisitPlan, known: Known, solved: DepotPlan[]): Promise<void> {
    const { fleetId } = fleetScope();
    const now = this.clock.now();
    const parts = known.problems.map((one, i) => proposalOf(one, solved[i] as DepotPlan, known));
    const proposal: Proposal = {
      visits: parts.flatMap(({ visits }) => visits),
      lines: [...parts.flatMap(({ lines }) => lines), ...known.placeless.map(withoutPlace)],
    };
    const costs = known.problems.map(({ problem, dropped }) =>
      costOnDueDays({ ...problem, lines: [...problem.lines, ...dropped] }),
    );
    const droppedCost = parts.reduce((sum, { droppedCost: each }) => sum + each, 0);
    await this.transactions.write(async (tx) => {
      const stored = await tx.findOne(VisitPlan, {
        where: { fleetId, id: plan.id, round: plan.round, state: 'solving' },
        lock: { mode: 'for_no_key_update' },
      });
      if (stored === null) return;
      await replaceProposal(tx, fleetId, plan.id, proposal.visits, proposal.lines);
      await tx.update(
        VisitPlan,
        { fleetId, id: plan.id },
        {
          state: 'solved',
          solvedAt: now,
          bound: solved.reduce((sum, { bound }) => sum + bound, droppedCost),
          costOnDueDays: costs.reduce<CostSplit>(addCosts, addCosts()),
          changedSinceSolved: false,
          problem: null,
          version: stored.version + 1,
        },
      );
      await removeOldPlans(tx, fleetId, new Date(now.getTime() - KEPT_DAYS * MS_PER_DAY));
    });
  }

  private async fail({ id, round }: VisitPlan, problem: Message): Promise<void> {
    const { fleetId } = fleetScope();
    await this.transactions.write((tx) =>
      tx.update(VisitPlan, { fleetId, id, round, state: 'solving' }, { state: 'failed', problem }),
    );
  }
}
