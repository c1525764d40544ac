import type { EntityManager } from 'typeorm';
import { faultCodeIn, faultCodeText } from '../../domain/faults/fault-code.js';
import { type SightingSpan, TOGETHER_MS } from '../../domain/faults/spans.js';
import type { NewSpan, StoredSpan } from '../../domain/faults/take-sightings.js';
import type { FaultReporter } from '../../entities/fault.entity.js';
import { arrayLiteral } from '../../platform/database/array-literal.js';
import { runStatement } from '../../platform/database/statement.js';

interface SpanRow {
  id: string;
  vehicleId: string;
  code: string;
  isActive: boolean;
  firstAt: Date;
  lastAt: Date;
  occurrences: number | null;
  isVoided: boolean;
  reportedBy: FaultReporter;
}

const COLUMNS = `f.id, f.vehicle_id as "vehicleId", f.code, f.is_active as "isActive", f.first_at as "firstAt", f.last_at as "lastAt",
  f.occurrences, f.voided_at is not null as "isVoided", f.reported_by as "reportedBy"`;

/** A stored span, and whose it is. */
export interface SpanOfVehicle extends StoredSpan {
  vehicleId: string;
  reportedBy: FaultReporter;
}

const spanOf = ({ code, firstAt, lastAt, ...row }: SpanRow): SpanOfVehicle => ({
  ...row,
  code: faultCodeIn(code),
  firstAt: firstAt.getTime(),
  lastAt: lastAt.getTime(),
});

/** Some time of a vehicle's code, in epoch milliseconds. */
export interface StretchOfCode {
  vehicleId: string;
  code: string;
  firstAt: number;
  lastAt: number;
}

/** What one kind of reporter has stored beside some stretches, voided or not. */
export async function spansBeside(
  tx: EntityManager,
  fleetId: string,
  reportedBy: FaultReporter,
  stretches: readonly StretchOfCode[],
): Promise<SpanOfVehicle[]> {
  const rows = await runStatement<SpanRow[]>(tx, {
    name: 'faults_beside',
    text: `select distinct ${COLUMNS}
     from unnest($3::uuid[], $4::text[], $5::timestamptz[], $6::timestamptz[]) as n(vehicle_id, code, since, until)
     join faults f on f.fleet_id = $1 and f.vehicle_id = n.vehicle_id and f.code = n.code and f.reported_by = $2
       and f.first_at <= n.until and f.last_at >= n.since`,
    values: [
      fleetId,
      reportedBy,
      stretches.map(({ vehicleId }) => vehicleId),
      stretches.map(({ code }) => code),
      stretches.map(({ firstAt }) => new Date(firstAt - TOGETHER_MS)),
      stretches.map(({ lastAt }) => new Date(lastAt + TOGETHER_MS)),
    ],
  });
  return rows.map(spanOf);
}

/** All that stands of some codes of some vehicles, whoever reported it. */
export async function spansOfCodes(
  manager: EntityManager,
  fleetId: string,
  codes: readonly { vehicleId: string; code: string }[],
): Promise<SpanOfVehicle[]> {
  if (codes.length === 0) return [];
  const rows = await runStatement<SpanRow[]>(manager, {
    name: 'faults_of_codes',
    text: `select ${COLUMNS} from faults f
     where f.fleet_id = $1 and f.voided_at is null
       and (f.vehicle_id, f.code) in (select * from unnest($2::uuid[], $3::text[]))
     order by f.first_at, f.id`,
    values: [fleetId, codes.map(({ vehicleId }) => vehicleId), codes.map(({ code }) => code)],
  });
  return rows.map(spanOf);
}

export interface AddedSpan extends NewSpan {
  id: string;
  vehicleId: string;
}

/** Stores new spans and lengthens stored ones: one statement each. */
export async function saveSpans(
  tx: EntityManager,
  fleetId: string,
  { tokenId, reportedBy }: { tokenId: string | null; reportedBy: FaultReporter },
  added: readonly AddedSpan[],
  lengthened: readonly SightingSpan[],
): Promise<void> {
  if (added.length > 0) {
    const column = columnsOf(added);
    await runStatement(tx, {
      name: 'insert_faults',
      text: `insert into faults (fleet_id, token_id, reported_by, id, vehicle_id, code, spn, fmi, is_active, first_at, last_at, occurrences)
       select $1, $2, $3, r.* from unnest($4::uuid[], $5::uuid[], $6::text[], $7::int[], $8::int[], $9::bool[], $10::timestamptz[], $11::timestamptz[], $12::int[]) as r`,
      values: [
        ...[fleetId, tokenId, reportedBy],
        column(({ id }) => id),
        column(({ vehicleId }) => vehicleId),
        column(({ code }) => faultCodeText(code)),
        column(({ code }) => (code.system === 'j1939' ? code.spn : null)),
        column(({ code }) => (code.system === 'j1939' ? code.fmi : null)),
        column(({ isActive }) => isActive),
        ...extentOf(column),
      ],
    });
  }
  if (lengthened.length === 0) return;
  const column = columnsOf(lengthened);
  await runStatement(tx, {
    name: 'lengthen_faults',
    text: `update faults f set first_at = r.first_at, last_at = r.last_at, occurrences = r.occurrences
     from unnest($2::uuid[], $3::timestamptz[], $4::timestamptz[], $5::int[]) as r(id, first_at, last_at, occurrences)
     where f.fleet_id = $1 and f.id = r.id`,
    values: [fleetId, column(({ id }) => id), ...extentOf(column)],
  });
}

type Column<T> = (value: (row: T) => string | number | boolean | Date | null) => string;

function columnsOf<T>(rows: readonly T[]): Column<T> {
  return (value) => arrayLiteral(rows.map(value));
}

function extentOf(column: Column<NewSpan>): string[] {
  return [
    column(({ firstAt }) => new Date(firstAt)),
    column(({ lastAt }) => new Date(lastAt)),
    column(({ occurrences }) => occurrences),
  ];
}
