import { type EntityManager, In } from 'typeorm';
import type { DueState } from '../../../domain/intervals/types.js';
import { DUE_LINE_COLUMNS, type DueLineRow, USAGE_JOIN } from '../../../conclusions/due-list/due-line-row.js';
import { stateOnDay } from '../../../conclusions/due-list/due-state.sql.js';
import { openFindingsOf } from '../../../facts/job-reports/released-with-findings.queries.js';
import { Reading } from '../../../entities/reading.entity.js';
import { UsageReading } from '../../../entities/usage-reading.entity.js';
import { Vehicle } from '../../../entities/vehicle.entity.js';
import { runStatement } from '../../../platform/database/statement.js';

/** A due line in its state on a given day. */
export interface LineInHand extends DueLineRow {
  isOpen: boolean;
  lineCycle: string;
  state: DueState;
}

/** @param dueLineIds ids without repeats */
export function linesInHand(
  manager: EntityManager,
  fleetId: string,
  dueLineIds: readonly string[],
  today: string,
): Promise<LineInHand[]> {
  return runStatement<LineInHand[]>(manager, {
    name: 'lines_in_hand',
    text: `select ${DUE_LINE_COLUMNS}, l.is_open as "isOpen", l.cycle as "lineCycle", ${stateOnDay('$3::date')} as state
     from unnest($2::uuid[]) w(id) join due_lines l on l.fleet_id = $1 and l.id = w.id ${USAGE_JOIN}`,
    values: [fleetId, dueLineIds, today],
  });
}

/** The due lines in a digest, most urgent first. */
export function linesOfDigest(
  manager: EntityManager,
  fleetId: string,
  digestId: string,
  limit: number,
): Promise<DueLineRow[]> {
  return manager.query<DueLineRow[]>(
    `select ${DUE_LINE_COLUMNS}
     from reminders r
     join due_lines l on l.fleet_id = r.fleet_id and l.id = r.due_line_id
     ${USAGE_JOIN}
     where r.fleet_id = $1 and r.digest_id = $2 and r.news = 'due-line'
     order by l.is_at_once desc, array_position(array['late', 'due', 'window'], r.stage), l.due_on, l.id limit $3`,
    [fleetId, digestId, limit],
  );
}

/** The ids of one kind of other news in a digest. */
export async function subjectsOfDigest(
  manager: EntityManager,
  fleetId: string,
  digestId: string,
  news: string,
  limit: number,
): Promise<string[]> {
  const rows = await manager.query<{ subjectId: string }[]>(
    `select subject_id as "subjectId" from reminders
     where fleet_id = $1 and digest_id = $2 and news = $3 order by id limit $4`,
    [fleetId, digestId, news, limit],
  );
  return rows.map(({ subjectId }) => subjectId);
}

interface OfVehicle<T> {
  vehicle: { id: string; unitNumber: string; depotId: string | null };
  reading: T;
}

/**
 * Failed readings, and whether the vehicle was released with each one and it is still unsettled.
 */
export async function failedReadingRows(
  manager: EntityManager,
  fleetId: string,
  ids: string[],
): Promise<(OfVehicle<Reading> & { isReleasedWith: boolean })[]> {
  const rows = await withVehicles(manager, fleetId, await manager.findBy(Reading, { fleetId, id: In(ids) }));
  const vehicleIds = [...new Set(rows.map(({ vehicle }) => vehicle.id))];
  const open = await openFindingsOf(manager, fleetId, vehicleIds);
  return rows.map((row) => ({ ...row, isReleasedWith: open.has(row.reading.id) }));
}

export async function heldReadingRows(
  manager: EntityManager,
  fleetId: string,
  ids: string[],
): Promise<OfVehicle<UsageReading>[]> {
  return withVehicles(manager, fleetId, await manager.findBy(UsageReading, { fleetId, id: In(ids) }));
}

async function withVehicles<T extends { vehicleId: string }>(
  manager: EntityManager,
  fleetId: string,
  readings: T[],
): Promise<OfVehicle<T>[]> {
  const ids = [...new Set(readings.map(({ vehicleId }) => vehicleId))];
  const vehicles = await manager.find(Vehicle, {
    select: { fleetId: true, id: true, unitNumber: true, depotId: true },
    where: { fleetId, id: In(ids) },
  });
  const byId = new Map(vehicles.map(({ id, unitNumber, depotId }) => [id, { id, unitNumber, depotId }]));
  return readings.flatMap((reading) => {
    const vehicle = byId.get(reading.vehicleId);
    return vehicle ? [{ vehicle, reading }] : [];
  });
}
