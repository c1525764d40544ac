import type { CircuitName } from '../src/domain/vehicles/circuits.js';
import { instantOf } from './calendar.js';
import { countersAt, freezePointOf, levelCheckOf, type PostedReport, reportOf } from './jobs.js';
import type { History, PostedReading } from './posted.js';
import { type Vehicle, workdayUpTo } from './vehicles.js';

/**
 * The battery-electric bus: two yearly visits, and a third at which the coolant of the battery
 * conducted more than its maker allows. It stays in the yard until that coolant is changed.
 */
export function electricBus(vehicle: Vehicle, today: number): History {
  const daysAgo = (days: number) => workdayUpTo(today - days);
  return {
    usage: [],
    reports: [
      busVisit(vehicle, daysAgo(712), { 'power-electronics': 29, battery: 34 }),
      busVisit(vehicle, daysAgo(352), { 'power-electronics': 41, battery: 63 }),
      {
        ...reportOf(vehicle, daysAgo(2), []),
        lines: [{ component: 'coolant', action: 'test', circuit: 'battery' }],
        readings: [conductivityOf('battery', 142), { ...levelCheckOf(0), circuit: 'battery' }],
        releasedForService: 'no',
        notes: 'Sampled twice, same value. Waits for low-conductivity coolant.',
      },
    ],
    readings: [],
  };
}

function busVisit(vehicle: Vehicle, day: number, read: Partial<Record<CircuitName, number>>): PostedReport {
  const inEach = (circuit: CircuitName) => ({ component: 'coolant', action: 'test', circuit });
  const levelIn = (circuit: CircuitName) => ({ ...levelCheckOf(vehicle.random.between(0, 0.1)), circuit });
  return {
    ...reportOf(vehicle, day, []),
    lines: [
      ...(['power-electronics', 'battery', 'cabin'] as const).map(inEach),
      { component: 'electric-coolant-pump', action: 'inspect', circuit: 'power-electronics' },
      { component: 'electric-coolant-pump', action: 'inspect', circuit: 'battery' },
      { component: 'chiller', action: 'inspect', circuit: 'battery' },
      { component: 'coolant-heater', action: 'inspect', circuit: 'cabin' },
    ],
    readings: [
      ...Object.entries(read).map(([circuit, value]) => conductivityOf(circuit as CircuitName, value)),
      ...(['power-electronics', 'battery', 'cabin'] as const).map(levelIn),
      { ...freezePointOf(-34), circuit: 'cabin' },
    ],
  };
}

const conductivityOf = (circuit: CircuitName, conductivityUsPerCm: number): Record<string, unknown> => ({
  ...{ kind: 'conductivity', circuit, conductivityUsPerCm, compensatedTo25C: true },
});

/**
 * The hybrid truck: its engine's circuit was topped up three times in six weeks. The level of the
 * power electronics stays where it was, so nothing is said of that circuit.
 */
export function hybridLosingCoolant(vehicle: Vehicle, today: number): History {
  const daysAgo = (days: number) => workdayUpTo(today - days);
  const inverter = { circuit: 'power-electronics' } as const;
  const visit = reportOf(vehicle, daysAgo(74), ['yearly']);
  return {
    usage: [],
    reports: [
      {
        ...visit,
        lines: [
          ...visit.lines,
          { component: 'coolant', action: 'test', ...inverter },
          { component: 'electric-coolant-pump', action: 'inspect', ...inverter },
        ],
        readings: [
          ...visit.readings,
          conductivityOf(inverter.circuit, 37),
          { ...levelCheckOf(0), ...inverter },
        ],
      },
    ],
    readings: [
      ...[41, 25, 8].map((days) => engineTopUp(vehicle, daysAgo(days))),
      onMorning(vehicle, daysAgo(8), { ...levelCheckOf(0), ...inverter }),
    ],
  };
}

function engineTopUp(vehicle: Vehicle, day: number): PostedReading {
  const { capacityL, technology } = vehicle.kind;
  return onMorning(vehicle, day, {
    kind: 'top-up',
    circuit: 'engine',
    added: { value: Math.round(capacityL * 0.045 * 10) / 10, unit: 'L' },
    toMark: true,
    strengthPercent: 50,
    base: 'ethylene-glycol',
    technology,
    planned: false,
  });
}

const onMorning = (vehicle: Vehicle, day: number, reading: Record<string, unknown>): PostedReading => ({
  unitNumber: vehicle.unitNumber,
  body: { takenAt: instantOf(day, 6, 12), ...countersAt(vehicle, day), ...reading },
});
