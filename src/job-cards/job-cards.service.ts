import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { civilDateAt } from '../domain/calendar/zone.js';
import type { MeasuredCondition } from '../domain/coolant-condition/inhibitor-limits.js';
import { resets } from '../domain/intervals/resets.js';
import type { WorkLine } from '../domain/intervals/types.js';
import { type CardSheet, jobCard } from '../domain/job-card/job-card.js';
import { CLEARED_BY_PROOF } from '../domain/loss/facts/types.js';
import type { UnitSystem } from '../domain/quantities/measures.js';
import { estimateNow, isStale } from '../domain/usage/projection.js';
import type { DailyRate } from '../domain/usage/types.js';
import { type DueLineView, dueLineViews } from '../due-list/due-line-view.js';
import { dueListRows, STANDING } from '../due-list/due-list.queries.js';
import { type LossAlertRow, lossAlertRows } from '../loss-alerts/loss-alerts.queries.js';
import { Clock } from '../platform/clock/clock.js';
import { fleetScope } from '../platform/scope/fleet-scope.js';
import { optionalMeasure } from '../platform/presenting/measures.js';
import { badQuery, notFound } from '../platform/problems/problem.js';
import { releasedWithFindings } from '../vehicles/released-with-findings.js';
import { cardHeldReadings, cardReadings } from './card-readings.js';
import { assertBeltsKnown, MAX_LINES, readLines } from './job-card-lines.js';
import { cardVisits, jobCardRow, type JobCardRow } from './job-card.queries.js';
import type { CardFreezePoint, CardLine, CardVehicle, JobCardView } from './job-card.dto.js';

/** More than stands on one vehicle with what is mounted on it. */
const MAX_STANDING = 200;
const MAX_ALERTS = 50;

/** What is asked of a card. */
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

  /** Draws the card of a vehicle for the lines asked; without them, for what is due or in its window and what its next visit is for. */
  async draw(vehicleId: string, { lines, workedAtDepotId, units }: JobCardRequest): Promise<JobCardView> {
    const asked = lines === undefined ? null : readLines(lines);
    const { fleetId, timeZone } = fleetScope();
    const { manager } = this.dataSource;
    const row = await jobCardRow(manager, fleetId, vehicleId, workedAtDepotId ?? null);
    if (row === null) throw notFound('vehicle');
    if (workedAtDepotId !== undefined && row.workedAtDepotId === null)
      throw badQuery('workedAtDepotId', 'names no depot of this fleet');
    assertBeltsKnown(asked ?? [], row.belts ?? []);
    const now = this.clock.now();
    const asOf = civilDateAt(now.getTime(), timeZone);
    const atHand = [vehicleId, ...[row.carrier, ...row.carries].flatMap((unit) => unit?.id ?? [])];
    const standing = await this.standing(manager, atHand, asOf, now);
    const own = standing.filter(({ vehicle }) => vehicle.id === vehicleId);
    const visits = await cardVisits(manager, fleetId, vehicleId);
    const work = asked ?? usualWork(own, visits[0]?.lines ?? []);
    const alerts = await this.openAlerts(manager, vehicleId, now);
    const { readings: lastReadings, findsLeak } = await cardReadings(manager, fleetId, vehicleId);
    const freezePoint = freezePointOf(row);
    const content = jobCard({
      lines: work,
      sheet: sheetOf(row),
      elevationM: row.workedAtDepotId === null ? row.elevationM : row.workedAtElevationM,
      strengthPercent: row.strengthPercent,
      isHourOnly: row.odometerLifetimeKm === null && row.engineHoursLifetime !== null,
      condition: conditionOf(row),
      freezePointVerdict: freezePoint?.verdict ?? null,
      losesCoolant:
        findsLeak || alerts.some(({ kind }) => (CLEARED_BY_PROOF as readonly string[]).includes(kind)),
      practice: row.practice,
      units,
    });
    // The domain's measures are shown as quantities on the way out.
    const released = await releasedWithFindings(manager, fleetId, [vehicleId]);
    return {
      releasedWithFindings: released.get(vehicleId) ?? null,
      asOf,
      vehicle: vehicleOf(vehicleId, row, now, timeZone),
      specSheet:
        row.sheetId === null ? null : { id: row.sheetId, name: row.sheetName ?? '', circuit: row.circuit },
      lines: work.map((line) => cardLine(line, own)),
      ...content,
      dueAnyway: standing.filter(
        (due) => due.vehicle.id !== vehicleId || !work.some((line) => resets(line, workLineOf(due))),
      ),
      visits,
      lossAlerts: alerts.map(({ id, kind, status, raisedAt, returned, checkNext }) => ({
        id,
        kind,
        status,
        raisedAt: raisedAt.toISOString(),
        returned,
        checkNext,
      })),
      lastReadings,
      heldReadings: await cardHeldReadings(manager, fleetId, vehicleId),
      lastFreezePoint: freezePoint,
    } as unknown as JobCardView;
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

  /** The vehicle's own alerts, and those of part lots that it carries. */
  private async openAlerts(manager: EntityManager, vehicleId: string, now: Date): Promise<LossAlertRow[]> {
    const { fleetId } = fleetScope();
    const own = await lossAlertRows(manager, fleetId, now, { vehicleId }, null, MAX_ALERTS);
    const lots = await lossAlertRows(manager, fleetId, now, { kind: 'part-cohort' }, null, MAX_ALERTS);
    return [...own, ...lots.filter(({ members }) => members.includes(vehicleId))];
  }
}

function workLineOf({ component, action, item }: DueLineView): WorkLine {
  return { component, action, item } as WorkLine;
}

/** What is due or in its window, and what the next visit is for besides. */
function usualWork(standing: readonly DueLineView[], atVisit: readonly WorkLine[]): WorkLine[] {
  const due = standing.map(workLineOf);
  const isDue = (line: WorkLine): boolean =>
    due.some(
      ({ component, action, item }) =>
        component === line.component && action === line.action && item === line.item,
    );
  return [...due, ...atVisit.filter((line) => !isDue(line))].slice(0, MAX_LINES);
}

/** A line of the card, with the due line that it settles where one stands. */
function cardLine(line: WorkLine, standing: readonly DueLineView[]): CardLine {
  const settles = standing.filter((due) => resets(line, workLineOf(due)));
  return { ...line, settles: settles.map(({ id, state, dueOn }) => ({ id, state, dueOn })) };
}

function sheetOf(row: JobCardRow): CardSheet | null {
  if (row.sheetId === null || row.base === null || row.capacityL === null) return null;
  const { base, technology, capacityL, drainableL, targetStrengthPercent, capRatingKpa } = row;
  return {
    coolant: { base, technology, capacityL, drainableL, targetStrengthPercent },
    capRatingKpa,
    holdTest: {
      procedureMethod: row.holdTestMethod,
      targetKpa: row.holdTestTargetKpa,
      allowedLossKpa: row.holdTestAllowedLossKpa,
      allowedMinutes: row.holdTestMinutes,
      capRatingKpa,
      maxTestPressureKpa: row.maxTestPressureKpa,
    },
    additive: {
      additive: row.additive,
      capacityL,
      coolant: {
        technology,
        heavyDuty: row.coolantCondition?.heavyDuty ?? null,
        wetLiners: row.coolantCondition?.wetLiners ?? null,
        limits: row.coolantCondition ?? {},
      },
    },
    fasteners: row.fasteners ?? [],
    belts: row.belts ?? [],
    parts: row.parts ?? [],
  };
}

/**
 * What the latest reading of the inhibitors measured; null where a strip was not to be believed.
 */
function conditionOf({ condition }: JobCardRow): MeasuredCondition | null {
  if (condition === null) return null;
  const findings = Array.isArray(condition.findings) ? condition.findings : [];
  if (findings.includes('strip-expired') || findings.includes('wrong-strip')) return null;
  const measured = (name: keyof MeasuredCondition): number | null => {
    const value = condition[name];
    return typeof value === 'number' ? value : null;
  };
  return {
    pH: measured('pH'),
    nitriteMgPerL: measured('nitriteMgPerL'),
    molybdateMgPerL: measured('molybdateMgPerL'),
    scaUnitsPerGallon: measured('scaUnitsPerGallon'),
    reserveAlkalinityMl: measured('reserveAlkalinityMl'),
  };
}

function freezePointOf(row: JobCardRow): CardFreezePoint | null {
  if (row.freezePointAt === null || row.freezePointEvaluation === null) return null;
  const { verdict, computed } = row.freezePointEvaluation;
  return {
    takenAt: row.freezePointAt.toISOString(),
    freezePoint: (computed.freezePoint ?? null) as CardFreezePoint['freezePoint'],
    strengthVolumePercent: (computed.strengthVolumePercent ?? null) as number | null,
    method: (row.freezePointTyped?.method ?? null) as string | null,
    verdict: verdict as CardFreezePoint['verdict'],
  };
}

interface Counter {
  at: Date | null;
  lifetime: number | null;
  offset: number | null;
  rate: DailyRate | null;
}

function vehicleOf(id: string, row: JobCardRow, now: Date, timeZone: string): CardVehicle {
  const odometer: Counter = {
    at: row.odometerReadAt,
    lifetime: row.odometerLifetimeKm,
    offset: row.odometerOffsetKm,
    rate: row.distanceRate,
  };
  const hours: Counter = {
    at: row.engineHoursReadAt,
    lifetime: row.engineHoursLifetime,
    offset: row.engineHoursOffset,
    rate: row.engineHoursRate,
  };
  const readAt = [odometer.at, hours.at].reduce((last, at) => (at && (!last || at > last) ? at : last), null);
  const elsewhere = row.workedAtDepotId !== null;
  const depotId = elsewhere ? row.workedAtDepotId : row.depotId;
  const { unitNumber, make, model, modelYear, vin, serialNumber, duty, status, carrier, carries } = row;
  return {
    ...{ id, unitNumber, make, model, modelYear, vin, serialNumber, duty, status },
    mountedOn: carrier,
    carries,
    depot:
      depotId === null
        ? null
        : {
            id: depotId,
            name: (elsewhere ? row.workedAtDepotName : row.depotName) ?? '',
            elevation: optionalMeasure('elevation', elsewhere ? row.workedAtElevationM : row.elevationM),
          },
    lastReadAt: readAt?.toISOString() ?? null,
    stale:
      readAt === null ||
      isStale(civilDateAt(readAt.getTime(), timeZone), civilDateAt(now.getTime(), timeZone)),
    estimatedOdometer: optionalMeasure('distance', estimateOf(odometer, now, timeZone)),
    estimatedEngineHours: optionalMeasure('engine-hours', estimateOf(hours, now, timeZone)),
  };
}

/** What the counter shows now by its rate; without a rate, what it showed last. */
function estimateOf({ at, lifetime, offset, rate }: Counter, now: Date, timeZone: string): number | null {
  if (at === null || lifetime === null) return null;
  const last = { at: at.getTime(), value: lifetime };
  const value = rate === null ? lifetime : estimateNow(rate, last, now.getTime(), timeZone);
  return value - (offset ?? 0);
}
