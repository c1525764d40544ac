import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { addDays } from '../../domain/calendar/civil-date.js';
import { CLOCK_TOLERANCE_MS } from '../../domain/calendar/device-clock.js';
import { civilDateAt, startOfDay } from '../../domain/calendar/zone.js';
import type { Message } from '../../domain/message.js';
import type { Unit } from '../../domain/quantities/units.js';
import { figuresOf } from '../../domain/temperatures/day-figures.js';
import { sampleFault, SAMPLES_KEPT_DAYS, withSamples } from '../../domain/temperatures/samples.js';
import { Clock } from '../../platform/clock/clock.js';
import { forEachYielding } from '../../platform/concurrency/yielding.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { lockVehicles } from '../../register/vehicles/vehicles.queries.js';
import { message } from './messages.js';
import {
  type NewDay,
  saveDays,
  type StoredDay,
  storedDays,
  type VehicleDay,
} from './temperatures.queries.js';

const MS_PER_MINUTE = 60_000;

/** One coolant temperature of one vehicle. */
export interface TemperatureRow {
  vehicleId: string;
  /** Epoch milliseconds. */
  at: number;
  celsius: number;
  /** As it was typed; a source's is °C. */
  unit?: Unit;
}

/** Why a temperature was left out. */
export type RefusalReason = 'unknown-vehicle' | 'sensor' | 'in-the-future' | 'day-closed';

export interface RefusedTemperature {
  /** Its place among the rows. */
  index: number;
  reason: RefusalReason;
  detail: Message;
}

/** What became of temperatures. One that was known already counts as accepted. */
export interface TakenTemperatures {
  accepted: number;
  refused: RefusedTemperature[];
}

interface DayOfRows extends VehicleDay {
  rows: Pick<TemperatureRow, 'at' | 'celsius'>[];
}

/** Takes coolant temperatures from people and from sources, and keeps their daily figures. */
@Injectable()
export class TemperaturesService {
  constructor(
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  /**
   * Stores temperatures of any number of vehicles in the caller's transaction, computes the figures
   * of their days anew, and concludes from days that overheated. The number of statements does not
   * grow with the number of rows. The order in which rows come makes no difference, and rows that
   * are known already change nothing.
   */
  async take(tx: EntityManager, rows: readonly TemperatureRow[]): Promise<TakenTemperatures> {
    const { fleetId } = fleetScope();
    const ids = [...new Set(rows.map(({ vehicleId }) => vehicleId))];
    const locked = new Set((await lockVehicles(tx, fleetId, ids, [])).map(({ id }) => id));
    const { days, refused } = await this.sortOut(rows, locked);
    const accepted = rows.length - refused.length;
    if (days.length === 0) return { accepted, refused };
    const changed = await this.withNew(await storedDays(tx, fleetId, days), days);
    await saveDays(
      tx,
      fleetId,
      changed.map(({ after }) => after),
    );
    await this.conclude(tx, changed);
    return { accepted, refused };
  }

  /** The rows that can be true, by vehicle and day, and why the others cannot. */
  private async sortOut(
    rows: readonly TemperatureRow[],
    known: ReadonlySet<string>,
  ): Promise<{ days: DayOfRows[]; refused: RefusedTemperature[] }> {
    const { timeZone } = fleetScope();
    const now = this.clock.now().getTime();
    const first = addDays(civilDateAt(now, timeZone), -SAMPLES_KEPT_DAYS);
    const byDay = new Map<string, DayOfRows>();
    const refused: RefusedTemperature[] = [];
    await forEachYielding([...rows.entries()], ([index, { vehicleId, at, celsius, unit }]) => {
      const refuse = (reason: RefusalReason, detail: Message): void =>
        void refused.push({ index, reason, detail });
      if (!known.has(vehicleId))
        return refuse('unknown-vehicle', message('temperature-item-vehicle-unknown', { vehicle: vehicleId }));
      const fault = sampleFault(celsius, unit);
      if (fault !== null) return refuse('sensor', fault);
      if (at > now + CLOCK_TOLERANCE_MS) {
        const [readAt, here] = [at, now].map((instant) => new Date(instant).toISOString()) as [
          string,
          string,
        ];
        return refuse('in-the-future', message('temperature-ahead', { readAt, now: here }));
      }
      const day = civilDateAt(at, timeZone);
      if (day < first)
        return refuse(
          'day-closed',
          message('temperature-day-closed', { day, first, days: SAMPLES_KEPT_DAYS }),
        );
      const key = keyOf({ vehicleId, day });
      const own = byDay.get(key);
      if (own) own.rows.push({ at, celsius });
      else byDay.set(key, { vehicleId, day, rows: [{ at, celsius }] });
    });
    return { days: [...byDay.values()], refused };
  }

  /** The days that change, as they were and as they will be. */
  private async withNew(
    stored: readonly StoredDay[],
    days: readonly DayOfRows[],
  ): Promise<{ before: StoredDay; after: NewDay }[]> {
    const { timeZone } = fleetScope();
    const added = new Map(days.map((one) => [keyOf(one), one.rows]));
    const starts = new Map<string, number>();
    const startOf = (day: string): number => {
      const start = starts.get(day) ?? startOfDay(day, timeZone);
      starts.set(day, start);
      return start;
    };
    const changed: { before: StoredDay; after: NewDay }[] = [];
    await forEachYielding(stored, (before) => {
      // The clock was set back, so its samples are gone already: its figures stay.
      if (before.id !== null && before.minutes === null) return;
      // After a change of the fleet's zone a day still counts from its first beginning.
      const beganAt = before.beganAt?.getTime() ?? startOf(before.day);
      const after = dayWith(before, added.get(keyOf(before)) ?? [], beganAt);
      if (after !== null) changed.push({ before, after });
    });
    return changed;
  }

  /** Draws the conclusions anew about the vehicles of which a hot day changed. */
  private async conclude(
    tx: EntityManager,
    changed: readonly { before: StoredDay; after: NewDay }[],
  ): Promise<void> {
    const from = new Map<string, number | null>();
    for (const { before, after } of changed) {
      const { vehicleId, overheatedFrom } = after;
      if (overheatedFrom === null || before.isVoided) continue;
      const at = overheatedFrom.getTime();
      // A day that begins to be hot at another time lies elsewhere on the vehicle's usage.
      const isElsewhere = before.overheatedFrom?.getTime() !== at;
      const earliest = from.get(vehicleId) ?? null;
      if (isElsewhere) from.set(vehicleId, Math.min(at, earliest ?? Infinity));
      else from.set(vehicleId, earliest);
    }
    await this.conclusions.refresh(
      tx,
      [...from].map(([vehicleId, at]) => ({ vehicleId, usageFrom: at === null ? null : new Date(at) })),
    );
  }
}

const keyOf = ({ vehicleId, day }: VehicleDay): string => `${vehicleId} ${day}`;

/** A day with further rows; null if they were known. */
function dayWith(before: StoredDay, rows: DayOfRows['rows'], beganAt: number): NewDay | null {
  const { vehicleId, day, minutes, celsius, alarmC, thermostatOpensC } = before;
  const samples = withSamples(
    { minutes: minutes ?? [], celsius: celsius ?? [] },
    rows.map((row) => ({ minute: Math.floor((row.at - beganAt) / MS_PER_MINUTE), celsius: row.celsius })),
  );
  if (samples === null) return null;
  const limits = { alarmC, thermostatOpensC };
  const figures = figuresOf(samples, limits);
  // The inspection after overheating is an engine's.
  const overheated = before.isElectric ? null : figures.overheated;
  const instant = (minute: number | undefined): Date | null =>
    minute === undefined ? null : new Date(beganAt + minute * MS_PER_MINUTE);
  return {
    ...{ id: before.id ?? uuidv7(), vehicleId, day, beganAt: new Date(beganAt), samples, figures, limits },
    overheatedFrom: instant(overheated?.from),
    overheatedUntil: instant(overheated?.until),
  };
}
