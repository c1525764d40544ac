import { isWorthTaking, type SourceValue } from '../../../domain/usage/source-values.js';
import type { UsageItem } from '../../usage/usage-batch.js';
import type { Gathered } from './gather.js';

/** The values that were last taken of a machine's counters. */
export interface LastValues {
  odometer: SourceValue | null;
  engineHours: SourceValue | null;
}

/** What is taken of a machine's counters, and what stands as last then. */
export interface CounterReadings {
  readings: Omit<UsageItem, 'index' | 'vehicleId'>[];
  passedOver: number;
  last: LastValues;
}

/** Chooses the values of a machine's counters that are worth a usage reading. */
export function counterReadings({ odometerKm, engineHours }: Gathered, known: LastValues): CounterReadings {
  const last = { ...known };
  const readings: CounterReadings['readings'] = [];
  let passedOver = 0;
  for (const { at, odometer, hours } of byInstant(odometerKm, engineHours)) {
    const isWorth =
      (odometer !== null && isWorthTaking(last.odometer, { at, value: odometer })) ||
      (hours !== null && isWorthTaking(last.engineHours, { at, value: hours }));
    if (!isWorth) {
      passedOver += 1;
      continue;
    }
    if (odometer !== null) last.odometer = { at, value: odometer };
    if (hours !== null) last.engineHours = { at, value: hours };
    readings.push({
      ...{ unitNumber: null, readAt: new Date(at), odometerKm: odometer, engineHours: hours },
      odometerUnit: odometer === null ? null : 'km',
      ...{ odometerReplaced: false, engineHoursReplaced: false, source: 'telematics' },
    });
  }
  return { readings, passedOver, last };
}

interface Instant {
  at: number;
  odometer: number | null;
  hours: number | null;
}

/** One entry for each instant, in order: a machine reads both counters together. */
function byInstant(odometerKm: readonly SourceValue[], engineHours: readonly SourceValue[]): Instant[] {
  const instants = new Map<number, Instant>();
  for (const { at, value } of odometerKm) instants.set(at, { at, odometer: value, hours: null });
  for (const { at, value } of engineHours)
    instants.set(at, { at, odometer: instants.get(at)?.odometer ?? null, hours: value });
  return [...instants.values()].sort((a, b) => a.at - b.at);
}
