import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { DECISION_KINDS, type DecisionKind, worstFirst } from '../../domain/decisions/decisions.js';
import { dueLineViews } from '../../conclusions/due-list/due-line-view.js';
import { dueLineRows } from '../../conclusions/due-list/due-list.queries.js';
import { lossAlertRows } from '../../conclusions/loss-alerts/loss-alerts.queries.js';
import { Clock } from '../../platform/clock/clock.js';
import { KEY, Keyset } from '../../platform/pages/keyset.js';
import type { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { releasedWithFindings } from '../../register/vehicles/released-with-findings.js';
import { DeliveryTroublesService } from '../../telling/delivery-troubles/delivery-troubles.service.js';
import { fleetMatter, type KnownOfPage, matterView } from './matter-view.js';
import type { TodayPage, VehicleToDecide } from './today.dto.js';
import {
  alertsOfFleet,
  type MatterRow,
  mattersOf,
  otherRows,
  vehicleRows,
  worstMatters,
} from './today.queries.js';

const BY_WORST = new Keyset('today', {
  asOf: KEY.date,
  rank: (text) => /^\d$/.test(text) && Number(text) < DECISION_KINDS.length,
  since: KEY.instant,
  id: KEY.uuid,
});

const LINES: readonly DecisionKind[] = ['released-with-findings', 'at-once', 'late', 'visit'];

@Injectable()
export class TodayService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
    private readonly troubles: DeliveryTroublesService,
  ) {}

  /** A page of the vehicles that somebody has to decide about, the worst first. */
  async page(query: PageQueryDto): Promise<TodayPage> {
    const { fleetId, timeZone, role } = fleetScope();
    const { manager } = this.dataSource;
    const now = this.clock.now();
    const page = BY_WORST.page(query);
    const asOf = page.after?.asOf ?? civilDateAt(now.getTime(), timeZone);
    const rows = await worstMatters(manager, fleetId, { asOf, now }, page.after, page.rowsToRead);
    const shown = rows.slice(0, page.limit);
    const vehicles = await this.vehiclesOf(shown, { asOf, now });
    const { items, next } = page.ofKeyed(
      rows,
      ({ rank, since, id }) => ({ asOf, rank, since, id }),
      ({ vehicleId }) => vehicles.get(vehicleId),
    );
    const ofFleet = page.after === null ? await alertsOfFleet(manager, fleetId, now) : [];
    return {
      asOf,
      items: items.filter((item) => item !== undefined),
      fleetMatters: ofFleet.map((alert) => fleetMatter(alert, role)),
      deliveryTroubles: page.after === null ? ((await this.troubles.ofManager()) ?? []) : [],
      next,
    };
  }

  private async vehiclesOf(
    rows: readonly MatterRow[],
    at: { asOf: string; now: Date },
  ): Promise<Map<string, VehicleToDecide>> {
    if (rows.length === 0) return new Map();
    const { fleetId, role } = fleetScope();
    const { manager } = this.dataSource;
    const ids = rows.map(({ vehicleId }) => vehicleId);
    const found = (await mattersOf(manager, fleetId, at, ids)).map(({ rank, ...row }) => ({
      ...row,
      kind: DECISION_KINDS[rank] as DecisionKind,
    }));
    const vehicles = await vehicleRows(manager, fleetId, ids);
    const known = await this.knownOf(ids, found, at);
    return new Map(
      vehicles.map((vehicle) => {
        const matters = worstFirst(found.filter(({ vehicleId }) => vehicleId === vehicle.id));
        const views = matters.map((matter) => matterView(matter, known, role));
        return [vehicle.id, { vehicle, worst: matters[0]?.kind ?? 'visit', matters: views }];
      }),
    );
  }

  private async knownOf(
    vehicleIds: readonly string[],
    found: readonly { kind: DecisionKind; id: string }[],
    { asOf, now }: { asOf: string; now: Date },
  ): Promise<KnownOfPage> {
    const { fleetId, timeZone } = fleetScope();
    const { manager } = this.dataSource;
    const idsOf = (isOf: (kind: DecisionKind) => boolean): string[] => [
      ...new Set(found.filter(({ kind }) => isOf(kind)).map(({ id }) => id)),
    ];
    const alertIds = idsOf((kind) => kind === 'loss-alert');
    const otherIds = idsOf((kind) => kind !== 'loss-alert' && !LINES.includes(kind));
    const lines = await dueLineRows(
      manager,
      fleetId,
      idsOf((kind) => LINES.includes(kind)),
    );
    const alerts = await lossAlertRows(manager, fleetId, now, { ids: alertIds }, null, alertIds.length);
    const others = await otherRows(manager, fleetId, timeZone, otherIds);
    const view = dueLineViews(now, timeZone);
    return {
      asOf,
      lines: new Map(lines.map((row) => [row.id, view(row)])),
      alerts: new Map(alerts.map((alert) => [alert.id, alert])),
      others: new Map(others.map((other) => [other.id, other])),
      released: await releasedWithFindings(manager, fleetId, vehicleIds),
    };
  }
}
