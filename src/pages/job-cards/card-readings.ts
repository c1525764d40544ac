import type { EntityManager } from 'typeorm';
import type { Evaluation } from '../../domain/evaluation/evaluation.js';
import { hasCircuit } from '../../domain/readings/kinds.js';
import {
  type CircuitName,
  namedCircuit,
  recordedCircuit,
  type VehicleCircuits,
} from '../../domain/vehicles/circuits.js';
import type { Message } from '../../domain/message.js';
import { shownMessage, shownMessages } from '../../platform/words/shown-messages.js';
import { optionalMeasure } from '../../platform/presenting/measures.js';
import type { CardHeldReading, CardReading } from './card/card-records.dto.js';

/** How many of the latest readings are searched for the last one of each kind. */
const LOOKED_THROUGH = 60;
const MOST_HELD = 5;

interface ReadingRow {
  id: string;
  kind: string;
  /** As it is recorded: null is the vehicle's first. */
  circuit: CircuitName | null;
  takenAt: Date;
  typed: Record<string, unknown>;
  evaluation: Evaluation;
  isOpen: boolean;
}

/** The fields that distinguish readings of the same kind. */
const WHICH = ['method', 'fastener', 'item'] as const;

/**
 * The last reading of each kind, and every reading that an open follow-up waits for. Failed and
 * inconclusive readings come first, then the latest ones. `leaksIn`: the circuits in which one that
 * a follow-up waits for found a leak, so the repair must be proved by a pressure test.
 */
export async function cardReadings(
  manager: EntityManager,
  fleetId: string,
  vehicleId: string,
  circuits: VehicleCircuits,
): Promise<{ readings: CardReading[]; leaksIn: Set<CircuitName | null> }> {
  const rows = await manager.query<ReadingRow[]>(
    `with open as materialized (
       select distinct w.id::uuid as id from due_lines l cross join lateral jsonb_array_elements_text(l.opened_by) w(id)
       where l.fleet_id = $1 and l.vehicle_id = $2 and l.is_open and l.origin = 'follow-up' and l.opened_by is not null),
     latest as (
       select r.id from readings r where r.fleet_id = $1 and r.vehicle_id = $2 and r.voided_at is null
       order by r.taken_at desc, r.id desc limit ${LOOKED_THROUGH})
     select r.id, r.kind, r.circuit, r.taken_at as "takenAt", r.typed, r.evaluation, r.id in (select id from open) as "isOpen"
     from readings r
     where r.fleet_id = $1 and r.vehicle_id = $2 and r.voided_at is null
       and r.id = any(array(select id from latest union select id from open))
     order by r.taken_at desc, r.id desc`,
    [fleetId, vehicleId],
  );
  const seen = new Set<string>();
  for (const row of rows) row.circuit = recordedCircuit(row.circuit, circuits);
  const shown = rows.filter(({ kind, circuit, typed, isOpen }) => {
    const key = JSON.stringify([kind, circuit, ...WHICH.map((name) => typed[name] ?? null)]);
    const isLast = !seen.has(key);
    seen.add(key);
    return isLast || isOpen;
  });
  const hasPassed = ({ evaluation: { verdict } }: ReadingRow): number =>
    verdict === 'fail' ? 0 : verdict === 'inconclusive' ? 1 : 2;
  const readings = shown
    .sort((a, b) => hasPassed(a) - hasPassed(b))
    .map(({ id, kind, circuit, takenAt, typed, evaluation: { verdict, reasons }, isOpen }) => ({
      ...{ id, kind: kind as CardReading['kind'], takenAt: takenAt.toISOString() },
      circuit: (hasCircuit(kind) ? namedCircuit(circuit, circuits) : null) ?? undefined,
      which: WHICH.map((name) => typed[name]).find((name) => typeof name === 'string') ?? null,
      ...{ verdict, reasons: shownMessages(reasons), isOpen },
    }));
  const leaks = rows.filter((row) => row.isOpen && foundLeak(row));
  return { readings, leaksIn: new Set(leaks.map(({ circuit }) => circuit)) };
}

function foundLeak({ kind, typed }: ReadingRow): boolean {
  if (kind === 'hold-test') return typed.method === 'pressure';
  return (kind === 'warm-up-check' || kind === 'road-test') && typed.leakSeen === true;
}

interface HeldRow {
  id: string;
  readAt: Date;
  odometerKm: number | null;
  engineHours: number | null;
  detail: Message | null;
}

/** Usage readings of the vehicle that are held for review, the latest first. */
export async function cardHeldReadings(
  manager: EntityManager,
  fleetId: string,
  vehicleId: string,
): Promise<CardHeldReading[]> {
  const rows = await manager.query<HeldRow[]>(
    `select id, read_at as "readAt", odometer_km as "odometerKm", engine_hours as "engineHours", detail from usage_readings
     where fleet_id = $1 and vehicle_id = $2 and status = 'held' order by read_at desc, id desc limit ${MOST_HELD}`,
    [fleetId, vehicleId],
  );
  return rows.map(({ id, readAt, odometerKm, engineHours, detail }) => ({
    ...{ id, readAt: readAt.toISOString(), detail: detail && shownMessage(detail) },
    odometer: optionalMeasure('distance', odometerKm),
    engineHours: optionalMeasure('engine-hours', engineHours),
  }));
}
