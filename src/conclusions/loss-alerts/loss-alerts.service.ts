import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../pipeline/conclusions.service.js';
import { MS_PER_DAY } from '../../domain/calendar/zone.js';
import type { Message } from '../../domain/message.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { lockedRowOf, rowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import type { Page } from '../../platform/pages/pages.js';
import { conflict, notFound, unacceptable } from '../../platform/problems/problem.js';
import { Vehicle } from '../../entities/vehicle.entity.js';
import type {
  AcknowledgeInput,
  ClearInput,
  LossAlertDetail,
  LossAlertQuery,
  LossAlertView,
  ShelveInput,
} from './loss-alert.dto.js';
import { LossAlert, LossAlertAction } from '../../entities/loss-alert.entity.js';
import { lossAlertView } from './loss-alert-view.js';
import { actionRows, lossAlertRows } from './loss-alerts.queries.js';
import { message } from './messages.js';
import { KEY, Keyset } from '../../platform/pages/keyset.js';

/** Shelving for longer is as good as clearing the alert; common practice, no source. */
const MAX_SHELVED_DAYS = 90;

type Act = Pick<LossAlertAction, 'action' | 'until' | 'note'>;

const NEWEST_FIRST = new Keyset('loss-alerts', { raisedAt: KEY.instant, id: KEY.uuid });

@Injectable()
export class LossAlertsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  async list({ limit, cursor, ...asked }: LossAlertQuery): Promise<Page<LossAlertView>> {
    const { status, kind, vehicleId, depotId } = asked;
    const filters = { status, kind, vehicleId, depotId };
    const page = NEWEST_FIRST.page({ limit, cursor }, filters);
    const rows = await lossAlertRows(
      this.dataSource.manager,
      fleetScope().fleetId,
      this.clock.now(),
      filters,
      page.after,
      page.rowsToRead,
    );
    return page.of(rows, lossAlertView);
  }

  get(id: string): Promise<LossAlertDetail> {
    return this.detail(this.dataSource.manager, id);
  }

  acknowledge(id: string, { note }: AcknowledgeInput): Promise<LossAlertDetail> {
    return this.act(id, { action: 'acknowledge', until: null, note: note ?? null });
  }

  shelve(id: string, { until, note }: ShelveInput): Promise<LossAlertDetail> {
    const end = new Date(until.replace(' ', 'T').toUpperCase());
    const days = (end.getTime() - this.clock.now().getTime()) / MS_PER_DAY;
    const fault = (detail: Message): Error => unacceptable([{ pointer: '/until', detail }]);
    if (days <= 0) throw fault(message('alert-shelved-into-past', { until }));
    if (days > MAX_SHELVED_DAYS)
      throw fault(message('alert-shelved-too-long', { until, days: MAX_SHELVED_DAYS }));
    return this.act(id, { action: 'shelve', until: end, note: note ?? null });
  }

  clear(id: string, { note }: ClearInput): Promise<LossAlertDetail> {
    return this.act(id, { action: 'clear', until: null, note });
  }

  /**
   * Records what someone did about an alert. The new status is then concluded together with
   * everything else that is known about the vehicle.
   */
  private async act(id: string, act: Act): Promise<LossAlertDetail> {
    const transactions = await this.transactions.ofVehicleWith(LossAlert, id);
    return transactions.write(async (tx) => {
      const { fleetId, tokenId } = fleetScope();
      const { vehicleId } = await rowOf(tx, LossAlert, id, 'loss alert');
      if (vehicleId !== null) await lockedRowOf(tx, Vehicle, vehicleId, 'vehicle');
      const alert = await lockedRowOf(tx, LossAlert, id, 'loss alert');
      const at = this.clock.now();
      assertPossible(alert, act);
      await tx.insert(LossAlertAction, { fleetId, id: uuidv7(), alertId: id, at, ...act, tokenId });
      if (vehicleId === null) await tx.update(LossAlert, { fleetId, id }, standingAfter(act, at));
      else await this.conclusions.refresh(tx, [{ vehicleId, usageFrom: null }]);
      return this.detail(tx, id);
    }, 200);
  }

  private async detail(manager: EntityManager, id: string): Promise<LossAlertDetail> {
    const { fleetId } = fleetScope();
    const [row] = await lossAlertRows(manager, fleetId, this.clock.now(), { id, fallenToo: true }, null, 1);
    if (!row) throw notFound('loss alert');
    const actions = await actionRows(manager, fleetId, id);
    return Object.assign(lossAlertView(row), {
      actions: actions.map(({ at, until, ...action }) => ({
        ...action,
        at: at.toISOString(),
        until: until?.toISOString() ?? null,
      })),
    });
  }
}

/** @throws Problem 409 when the alert's present status does not allow the action */
function assertPossible(alert: LossAlert, { action }: Act): void {
  if (!alert.isStanding) {
    throw conflict('no-longer-standing', message('alert-no-longer-standing'));
  }
  if (alert.status === 'cleared') {
    const at = (alert.clearedAt ?? alert.raisedAt).toISOString();
    throw conflict('already-cleared', message('alert-cleared-already', { at }));
  }
  if (action === 'acknowledge' && alert.status === 'acknowledged') {
    throw conflict('already-acknowledged', message('alert-acknowledged-already'));
  }
}

/** The new status of an alert about a batch of parts after someone acted on it. */
function standingAfter(
  { action, until }: Act,
  at: Date,
): Partial<Pick<LossAlert, 'status' | 'clearedAt' | 'clearedBy' | 'shelvedUntil'>> {
  if (action === 'clear')
    return { status: 'cleared', clearedAt: at, clearedBy: 'manager', shelvedUntil: null };
  if (action === 'shelve') return { status: 'shelved', shelvedUntil: until };
  return { status: 'acknowledged', shelvedUntil: null };
}
