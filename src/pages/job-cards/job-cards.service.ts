import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { resets } from '../../domain/intervals/resets.js';
import type { WorkLine } from '../../domain/intervals/types.js';
import { jobCard, type JobCardContent } from '../../domain/job-card/job-card.js';
import { CLEARED_BY_PROOF } from '../../domain/loss/facts/types.js';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { type DueLineView, dueLineViews } from '../../conclusions/due-list/due-line-view.js';
import { dueListRows, STANDING } from '../../conclusions/due-list/due-list.queries.js';
import { type LossAlertRow, lossAlertRows } from '../../conclusions/loss-alerts/loss-alerts.queries.js';
import { Clock } from '../../platform/clock/clock.js';
import { shownMessages } from '../../platform/words/shown-messages.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { badQuery, noSuch, notFound } from '../../platform/problems/problem.js';
import { releasedWithFindings } from '../../register/vehicles/released-with-findings.js';
import { cardHeldReadings, cardReadings } from './card-readings.js';
import { cardTemperatures } from './card-temperatures.js';
import { assertBeltsKnown, MAX_LINES, readLines } from './job-card-lines.js';
import { cardVisits, jobCardRow, type JobCardRow } from './job-card.queries.js';
import type { CardLine } from './card/card-work.dto.js';
import type { JobCardView } from './card/job-card.dto.js';
import { conditionOf, freezePointOf, sheetOf } from './card-sheet.js';
import { cardVehicle } from './card-vehicle.js';

/** More lines than are due on one vehicle and its mounted units. */
const MAX_STANDING = 200;
const MAX_ALERTS = 50;

/** The parameters of a request for a card. */
export interface JobCardRequest {
  lines: string | undefined;
  workedAtDepotId: string | undefined;
  units: UnitSystem;
}

@Injectable()
export class JobCardsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
  ) {}

  /**
   * Draws the card of a vehicle for the requested lines. Without these, for the lines that are due
   * or in their window and for the work of the next visit.
   */
  async draw(vehicleId: string, { lines, workedAtDepotId, units }: JobCardRequest): Promise<JobCardView> {
    const asked = lines === undefined ? null : readLines(lines);
    const { fleetId, timeZone } = fleetScope();
    const { manager } = this.dataSource;
    const row = await this.rowOf(vehicleId, workedAtDepotId);
    assertBeltsKnown(asked ?? [], row.belts ?? []);
    const now = this.clock.now();
    const asOf = civilDateAt(now.getTime(), timeZone);
    const standing = await this.standing(manager, unitsAtHand(vehicleId, row), asOf, now);
    const own = standing.filter(({ vehicle }) => vehicle.id === vehicleId);
    const visits = await cardVisits(manager, fleetId, vehicleId);
    const work = asked ?? usualWork(own, visits[0]?.lines ?? []);
    const alerts = await this.openAlerts(manager, vehicleId, now);
    const { readings: lastReadings, findsLeak } = await cardReadings(manager, fleetId, vehicleId);
    const losesCoolant = findsLeak || alerts.some(isClearedByProof);
    const released = await releasedWithFindings(manager, fleetId, [vehicleId]);
    // The domain's measures become quantities when the response is shown.
    return {
      releasedWithFindings: released.get(vehicleId) ?? null,
      asOf,
      vehicle: cardVehicle(vehicleId, row, now, timeZone),
      specSheet:
        row.sheetId === null ? null : { id: row.sheetId, name: row.sheetName ?? '', circuit: row.circuit },
      lines: work.map((line) => cardLine(line, own)),
      ...contentOf(row, work, losesCoolant, units),
      dueAnyway: standing.filter(
        (due) => due.vehicle.id !== vehicleId || !work.some((line) => resets(line, workLineOf(due))),
      ),
      visits,
      lossAlerts: alerts.map(cardAlert),
      coolantTemperatures: await cardTemperatures(manager, { fleetId, timeZone }, vehicleId, asOf),
      lastReadings,
      heldReadings: await cardHeldReadings(manager, fleetId, vehicleId),
      lastFreezePoint: freezePointOf(row),
    } as unknown as JobCardView;
  }

  /** @throws Problem 404 when there is no such vehicle, 400 when there is no such depot */
  private async rowOf(vehicleId: string, workedAtDepotId: string | undefined): Promise<JobCardRow> {
    const { fleetId } = fleetScope();
    const row = await jobCardRow(this.dataSource.manager, fleetId, vehicleId, workedAtDepotId ?? null);
    if (row === null) throw notFound('vehicle');
    if (workedAtDepotId !== undefined && row.workedAtDepotId === null)
      throw badQuery('workedAtDepotId', noSuch('depot'));
    return row;
  }

  private async standing(
    manager: EntityManager,
    vehicleIds: string[],
    asOf: string,
    now: Date,
  ): Promise<DueLineView[]> {
    const { fleetId, timeZone } = fleetScope();
    const rows = await dueListRows(manager, fleetId, {
      asOf,
      states: new Set(STANDING),
      filters: { vehicleIds },
      after: null,
      limit: MAX_STANDING,
    });
    return rows.map(dueLineViews(now, timeZone));
  }

  /** The vehicle's own alerts, and alerts about batches of parts that are fitted to it. */
  private async openAlerts(manager: EntityManager, vehicleId: string, now: Date): Promise<LossAlertRow[]> {
    const { fleetId } = fleetScope();
    const own = await lossAlertRows(manager, fleetId, now, { vehicleId }, null, MAX_ALERTS);
    const lots = await lossAlertRows(manager, fleetId, now, { kind: 'part-cohort' }, null, MAX_ALERTS);
    return [...own, ...lots.filter(({ members }) => members.includes(vehicleId))];
  }
}

/** The vehicle, the vehicle it is mounted on, and the units it carries. */
function unitsAtHand(vehicleId: string, { carrier, carries }: JobCardRow): string[] {
  return [vehicleId, ...[carrier, ...carries].flatMap((unit) => unit?.id ?? [])];
}

/**
 * The content of the card from the domain: steps, parts, torques, coolant, tests, missing data and
 * cautions.
 */
function contentOf(
  row: JobCardRow,
  lines: WorkLine[],
  losesCoolant: boolean,
  units: UnitSystem,
): JobCardContent {
  return jobCard({
    lines,
    sheet: sheetOf(row),
    elevationM: row.workedAtDepotId === null ? row.elevationM : row.workedAtElevationM,
    strengthPercent: row.strengthPercent,
    isHourOnly: row.odometerLifetimeKm === null && row.engineHoursLifetime !== null,
    condition: conditionOf(row),
    freezePointVerdict: freezePointOf(row)?.verdict ?? null,
    losesCoolant,
    practice: row.practice,
    units,
  });
}

function isClearedByProof({ kind }: LossAlertRow): boolean {
  return (CLEARED_BY_PROOF as readonly string[]).includes(kind);
}

function cardAlert({ id, kind, status, raisedAt, returned, checkNext }: LossAlertRow) {
  return {
    ...{ id, kind, status, raisedAt: raisedAt.toISOString(), returned },
    checkNext: shownMessages(checkNext),
  };
}

function workLineOf({ component, action, item }: DueLineView): WorkLine {
  return { component, action, item } as WorkLine;
}

/** The work that is due or in its window, and the further work of the next visit. */
function usualWork(standing: readonly DueLineView[], atVisit: readonly WorkLine[]): WorkLine[] {
  const due = standing.map(workLineOf);
  const isDue = (line: WorkLine): boolean =>
    due.some(
      ({ component, action, item }) =>
        component === line.component && action === line.action && item === line.item,
    );
  return [...due, ...atVisit.filter((line) => !isDue(line))].slice(0, MAX_LINES);
}

/** A line of the card, with the due lines that it resets. */
function cardLine(line: WorkLine, standing: readonly DueLineView[]): CardLine {
  const settles = standing.filter((due) => resets(line, workLineOf(due)));
  return { ...line, settles: settles.map(({ id, state, dueOn, causes }) => ({ id, state, dueOn, causes })) };
}
