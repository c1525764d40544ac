import type { EntityManager } from 'typeorm';
import { findingInWords, openFindingsText } from '../../domain/follow-ups/safety-findings.js';
import type { Message } from '../../domain/message.js';
import { shownMessage, shownMessages } from '../../platform/words/shown-messages.js';
import type { OpenFindingView, ReleasedWithFindingsView } from './vehicle.dto.js';

interface FindingRow {
  vehicleId: string;
  dueLineId: string;
  readingId: string;
  jobReportId: string;
  kind: string;
  takenAt: Date;
  typed: Record<string, unknown>;
  reasons: Message[];
}

/**
 * The open safety findings with which the vehicles were released for service. Vehicles without any
 * are left out. One statement.
 */
export async function releasedWithFindings(
  manager: EntityManager,
  fleetId: string,
  vehicleIds: readonly string[],
): Promise<Map<string, ReleasedWithFindingsView>> {
  if (vehicleIds.length === 0) return new Map();
  const rows = await manager.query<FindingRow[]>(
    `select l.vehicle_id as "vehicleId", l.id as "dueLineId", r.id as "readingId", r.job_report_id as "jobReportId", r.kind,
       r.taken_at as "takenAt", r.typed, r.evaluation -> 'reasons' as reasons
     from due_lines l
     cross join lateral jsonb_array_elements_text(l.released_with) w(id)
     join readings r on r.fleet_id = l.fleet_id and r.id = w.id::uuid
     where l.fleet_id = $1 and l.vehicle_id = any($2::uuid[]) and l.is_open and l.released_with is not null
     order by r.taken_at, r.id, l.due_on, l.id`,
    [fleetId, vehicleIds],
  );
  const byVehicle = new Map<string, FindingRow[]>();
  for (const row of rows) byVehicle.set(row.vehicleId, [...(byVehicle.get(row.vehicleId) ?? []), row]);
  return new Map([...byVehicle].map(([id, found]) => [id, viewOf(found)]));
}

function viewOf(rows: readonly FindingRow[]): ReleasedWithFindingsView {
  const byReading = new Map<string, OpenFindingView>();
  for (const { dueLineId, readingId, jobReportId, kind, takenAt, typed, reasons } of rows) {
    const known = byReading.get(readingId);
    if (known) {
      known.dueLineIds.push(dueLineId);
      continue;
    }
    const { what, until } = findingInWords({ ...typed, kind });
    byReading.set(readingId, {
      ...{ readingId, jobReportId, kind: kind as OpenFindingView['kind'] },
      takenAt: takenAt.toISOString(),
      ...{ what: shownMessage(what), until: shownMessage(until), reasons: shownMessages(reasons) },
      dueLineIds: [dueLineId],
    });
  }
  const found = new Map(rows.map(({ readingId, typed, kind }) => [readingId, { ...typed, kind }]));
  const findings = [...byReading.values()];
  return {
    message: shownMessage(openFindingsText([...found.values()].map(findingInWords))),
    since: findings[0]?.takenAt ?? '',
    findings,
  };
}
