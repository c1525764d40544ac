import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { resets } from '../../domain/intervals/resets.js';
import { isSameLine } from '../../domain/intervals/same-work.js';
import type { WorkLine } from '../../domain/intervals/types.js';
import { isInCircuit } from '../../domain/intervals/circuit-opening.js';
import { namedCircuit, recordedCircuit, type VehicleCircuits } from '../../domain/vehicles/circuits.js';
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
import { cardFault } from './card-faults.js';
import { cardDefect } from './card-defects.js';
import { cardHeldReadings, cardReadings } from './card-readings.js';
import { cardTemperatures } from './card-temperatures.js';
import { circuitsOf, circuitsOnCard, contentOf, otherCircuitsOf } from './card-content.js';
import { coolantStatesIn, stateKey, type VehicleCircuit } from './coolant-state.queries.js';
import { assertBeltsKnown, linesInCircuits, MAX_LINES, readLines } from './job-card-lines.js';
import { cardVisits, jobCardRow, type JobCardRow } from './job-card.queries.js';
import type { CardLine } from './card/card-work.dto.js';
import type { JobCardView } from './card/job-card.dto.js';
import { freezePointOf } from './card-sheet.js';
import { cardVehicle } from './card-vehicle.js';
import { withStarterIntervals } from './starter-note.js';

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
    const now = this.clock.now();
    const asOf = civilDateAt(now.getTime(), timeZone);
    const row = await this.rowOf({ vehicleId, workedAtDepotId, now, asOf });
    const circuits = circuitsOf(row);
    const wanted = asked && linesInCircuits(asked, circuits);
    assertBeltsKnown(wanted ?? [], row.belts ?? []);
    const standing = await this.standing(manager, unitsAtHand(vehicleId, row), asOf, now);
    const own = standing.filter(({ vehicle }) => vehicle.id === vehicleId);
    const visits = await cardVisits(manager, fleetId, vehicleId);
    const work = wanted ?? usualWork(own, visits[0]?.lines ?? [], circuits);
    const alerts = await this.openAlerts(manager, vehicleId, now);
    const { readings: lastReadings, leaksIn } = await cardReadings(manager, fleetId, vehicleId, circuits);
    for (const alert of alerts) if (isClearedByProof(alert)) leaksIn.add(alert.circuit);
    const states = await coolantStatesIn(manager, fleetId, pairsOf(vehicleId, work, circuits));
    const parts = circuitsOnCard(row, work, circuits, (circuit) => states.get(stateKey(vehicleId, circuit)));
    const { circuit, ...content } = contentOf(row, parts, leaksIn, units);
    const released = await releasedWithFindings(manager, fleetId, [vehicleId]);
    // The domain's measures become quantities when the response is shown.
    return {
      releasedWithFindings: released.get(vehicleId) ?? null,
      asOf,
      vehicle: cardVehicle(vehicleId, row, now, timeZone),
      specSheet:
        row.sheetId === null
          ? null
          : { id: row.sheetId, name: row.sheetName ?? '', circuitNote: row.circuitNote },
      lines: work.map((line) => cardLine(line, own, circuits)),
      ...withStarterIntervals(content, standing),
      circuit: circuit ?? undefined,
      dueAnyway: standing.filter(
        (due) =>
          due.vehicle.id !== vehicleId || !work.some((line) => resets(line, workLineOf(due, circuits))),
      ),
      visits: visits.map((visit) => ({ ...visit, lines: visit.lines.map((line) => named(line, circuits)) })),
      defects: row.defects.map(cardDefect),
      lossAlerts: alerts.map(cardAlert),
      coolantTemperatures: cardTemperatures(row.shownDays, asOf),
      lastReadings,
      heldReadings: await cardHeldReadings(manager, fleetId, vehicleId),
      faults: row.faults.map(cardFault),
      lastFreezePoint: freezePointOf(row),
    } as unknown as JobCardView;
  }

  /** @throws Problem 404 when there is no such vehicle, 400 when there is no such depot */
  private async rowOf(asked: {
    vehicleId: string;
    workedAtDepotId: string | undefined;
    now: Date;
    asOf: string;
  }): Promise<JobCardRow> {
    const { fleetId } = fleetScope();
    const { workedAtDepotId } = asked;
    const row = await jobCardRow(this.dataSource.manager, fleetId, {
      ...asked,
      workedAtDepotId: workedAtDepotId ?? null,
    });
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

/** The circuits besides the first that the work is in. */
function pairsOf(vehicleId: string, work: readonly WorkLine[], circuits: VehicleCircuits): VehicleCircuit[] {
  return otherCircuitsOf(work, circuits).map((circuit) => ({ vehicleId, circuit }));
}

/** The vehicle, the vehicle it is mounted on, and the units it carries. */
function unitsAtHand(vehicleId: string, { carrier, carries }: JobCardRow): string[] {
  return [vehicleId, ...[carrier, ...carries].flatMap((unit) => unit?.id ?? [])];
}

function isClearedByProof({ kind }: LossAlertRow): boolean {
  return (CLEARED_BY_PROOF as readonly string[]).includes(kind);
}

function cardAlert({ id, kind, namedCircuit: told, status, raisedAt, returned, checkNext }: LossAlertRow) {
  return {
    circuit: told ?? undefined,
    ...{ id, kind, status, raisedAt: raisedAt.toISOString(), returned },
    checkNext: shownMessages(checkNext),
  };
}

/** The work of a due line, its circuit as it is recorded. */
function workLineOf({ component, action, item, circuit }: DueLineView, circuits: VehicleCircuits): WorkLine {
  return { component, action, item, circuit: recordedCircuit(circuit, circuits) } as WorkLine;
}

/** A line with its circuit as it is told. */
function named<Line extends WorkLine>(line: Line, circuits: VehicleCircuits) {
  const { circuit, component } = line;
  const told = circuit != null || isInCircuit(component) ? namedCircuit(circuit, circuits) : null;
  return { ...line, circuit: told ?? undefined };
}

/** The work that is due or in its window, and the further work of the next visit. */
function usualWork(
  standing: readonly DueLineView[],
  atVisit: readonly WorkLine[],
  circuits: VehicleCircuits,
): WorkLine[] {
  const all = [...standing.map((line) => workLineOf(line, circuits)), ...atVisit];
  // An interval and a follow-up may ask for the same work.
  const isFirst = (line: WorkLine, index: number): boolean =>
    all.findIndex((other) => isSameLine(other, line)) === index;
  return all.filter(isFirst).slice(0, MAX_LINES);
}

/** A line of the card, with the due lines that it resets. */
function cardLine(line: WorkLine, standing: readonly DueLineView[], circuits: VehicleCircuits): CardLine {
  const settles = standing.filter((due) => resets(line, workLineOf(due, circuits)));
  return {
    ...named(line, circuits),
    settles: settles.map(({ id, state, dueOn, causes, basis }) => ({ id, state, dueOn, causes, basis })),
  };
}
