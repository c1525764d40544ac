import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { lockedRowOf, rowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import type { Page } from '../../platform/pages/pages.js';
import { badQuery, conflict, notFound } from '../../platform/problems/problem.js';
import { lockVehicles } from '../../register/vehicles/vehicles.queries.js';
import type { VisitsQuery, VisitState, VisitView } from './visit.dto.js';
import { Visit } from '../../entities/visit.entity.js';
import { rangeExchanged } from '../../platform/fields/wording.js';
import { message } from './messages.js';
import { releaseLines, visitKeys, type VisitRow, visitRows } from './visits.queries.js';
import { personAsked } from '../../platform/fields/assigned-to.js';
import { KEY, Keyset } from '../../platform/pages/keyset.js';

const BY_DAY = new Keyset('visits', { day: KEY.date, id: KEY.uuid });

@Injectable()
export class VisitsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly clock: Clock,
  ) {}

  async list({ limit, cursor, state = 'planned', ...filters }: VisitsQuery): Promise<Page<VisitView>> {
    if (filters.from !== undefined && filters.to !== undefined && filters.to < filters.from)
      throw badQuery('to', rangeExchanged({ from: filters.from, to: filters.to }));
    const { fleetId } = fleetScope();
    const { manager } = this.dataSource;
    const asked = { state, ...filters, assignedTo: personAsked(filters.assignedTo) };
    const page = BY_DAY.page({ limit, cursor }, asked);
    const keys = await visitKeys(manager, fleetId, asked, page.after, page.rowsToRead);
    const { items: ids, next } = page.of(keys, ({ id }) => id);
    const rows = await visitRows(manager, fleetId, ids);
    return { items: rows.map((row) => this.view(row)), next };
  }

  get(id: string): Promise<VisitView> {
    return this.shown(this.dataSource.manager, id);
  }

  /** Cancels a visit. Its lines are then free for another plan. */
  cancel(id: string, reason: string): Promise<VisitView> {
    return this.transactions.write(async (tx) => {
      const { fleetId } = fleetScope();
      const { vehicleId } = await rowOf(tx, Visit, id, 'visit');
      await lockVehicles(tx, fleetId, [vehicleId], []);
      const visit = await lockedRowOf(tx, Visit, id, 'visit');
      if (visit.cancelledAt) {
        if (visit.cancelReason === reason) return this.shown(tx, id);
        throw conflict(
          'already-cancelled',
          message('visit-cancelled-already', { reason: visit.cancelReason ?? '' }),
        );
      }
      const { state, lines } = await this.shown(tx, id);
      if (state === 'done') {
        const doneOn = lines.flatMap((line) => line.doneOn ?? []).sort();
        throw conflict('already-done', message('visit-done-already', { on: doneOn.at(-1) ?? '' }));
      }
      const cancelled = { cancelledAt: this.clock.now(), cancelReason: reason, version: visit.version + 1 };
      await tx.update(Visit, { fleetId, id }, cancelled);
      await releaseLines(tx, fleetId, id);
      return this.shown(tx, id);
    }, 200);
  }

  /** A visit with the state of each of its lines. */
  async shown(manager: EntityManager, id: string): Promise<VisitView> {
    const [row] = await visitRows(manager, fleetScope().fleetId, [id]);
    if (!row) throw notFound('visit');
    return this.view(row);
  }

  private view({ vehicleId, unitNumber, confirmedAt, cancelledAt, ...row }: VisitRow): VisitView {
    const today = civilDateAt(this.clock.now().getTime(), fleetScope().timeZone);
    const state = stateOf(cancelledAt, row.lines);
    return {
      ...row,
      state,
      missed: state === 'planned' && row.day < today,
      vehicle: { id: vehicleId, unitNumber },
      confirmedAt: confirmedAt.toISOString(),
      cancelledAt: cancelledAt?.toISOString() ?? null,
    };
  }
}

function stateOf(cancelledAt: Date | null, lines: VisitView['lines']): VisitState {
  if (cancelledAt) return 'cancelled';
  if (lines.some(({ state }) => state === 'open')) return 'planned';
  return lines.some(({ state }) => state === 'done') ? 'done' : 'lapsed';
}
