import { instantOf } from './calendar.js';
import { electricBus, hybridLosingCoolant } from './circuit-stories.js';
import type { WorkKey } from './district.js';
import type { History, PostedReading } from './posted.js';
import {
  coolantLine,
  coolantReadings,
  countersAt,
  freezePointOf,
  lotOf,
  opensCircuit,
  pressureTestOf,
  type PostedReport,
  recheckOf,
  reportOf,
  torqueSetOf,
} from './jobs.js';
import { fridayBefore, shownOn, type Vehicle, workdayUpTo } from './vehicles.js';

interface Told extends History {
  /** Whether the story replaces ordinary work of this kind on this day. */
  replaces(day: number, work: WorkKey): boolean;
}

const NOTHING: Told = { usage: [], reports: [], readings: [], replaces: () => false };

/**
 * What a vehicle with a story adds to its ordinary history: the trouble that the loss watch and the
 * due list are there to find.
 */
export function storyOf(vehicle: Vehicle, today: number): Told {
  const daysAgo = (days: number) => workdayUpTo(today - days);
  // A pump's return counts as early within a year. Two reports within one year must belong to a
  // story and not come about by chance.
  const allSince = (days: number) => (day: number, work: WorkKey) => day > today - days && work !== 'belts';
  const coolantSince = (days: number) => (day: number, work: WorkKey) =>
    day > today - days && opensCircuit([work]);
  switch (vehicle.story) {
    case null:
      return NOTHING;
    case 'repeat-top-ups':
      return {
        ...NOTHING,
        reports: withRecheck(vehicle, pumpJob(vehicle, daysAgo(74), ['pump', 'yearly']), daysAgo(74), today),
        readings: [41, 25, 8].map((days) => topUp(vehicle, daysAgo(days), 0.045, 50)),
        replaces: allSince(460),
      };
    case 'unrecorded-water':
      return {
        ...NOTHING,
        reports: [
          ...withRecheck(
            vehicle,
            reportOf(vehicle, daysAgo(262), ['yearly', 'coolant']),
            daysAgo(262),
            today,
          ),
          reportOf(vehicle, daysAgo(100), ['yearly']),
        ],
        // Between these two readings somebody topped up with water and did not record it: 50 % has
        // become 40 %.
        readings: [topUp(vehicle, daysAgo(62), 0.03, 50), freezePoint(vehicle, daysAgo(12), -10)],
        replaces: allSince(400),
      };
    case 'early-return':
      return {
        ...NOTHING,
        reports: [
          ...withRecheck(vehicle, pumpJob(vehicle, daysAgo(165), ['pump', 'yearly']), daysAgo(165), today),
          ...withRecheck(vehicle, pumpAgain(vehicle, daysAgo(16)), daysAgo(16), today),
        ],
        replaces: allSince(560),
      };
    case 'released-with-failed-test':
      return {
        ...NOTHING,
        reports: [releasedOnFriday(vehicle, fridayBefore(today))],
        replaces: coolantSince(60),
      };
    case 'torque-missed':
      return {
        ...NOTHING,
        reports: withRecheck(vehicle, torqueMissed(vehicle, daysAgo(38)), daysAgo(38), today),
        replaces: allSince(460),
      };
    case 'held-reading':
      return { ...NOTHING, usage: [mistypedReading(vehicle, daysAgo(19))] };
    case 'electric-bus':
      return { ...NOTHING, ...electricBus(vehicle, today) };
    case 'hybrid-losing-coolant':
      return { ...NOTHING, ...hybridLosingCoolant(vehicle, today), replaces: allSince(460) };
    case 'reports-by-itself':
      return NOTHING;
  }
}

function withRecheck(vehicle: Vehicle, job: PostedReport, day: number, today: number): PostedReport[] {
  const recheck = recheckOf(vehicle, day, today);
  return recheck === null ? [job] : [job, recheck];
}

function pumpJob(vehicle: Vehicle, day: number, works: WorkKey[]): PostedReport {
  return { ...reportOf(vehicle, day, works), notes: 'Pump seal was damp; nothing lost yet.' };
}

/** Five months later, the new pump leaked again at once. */
function pumpAgain(vehicle: Vehicle, day: number): PostedReport {
  const { kind } = vehicle;
  return {
    ...reportOf(vehicle, day, ['pump']),
    lines: [
      {
        component: 'water-pump',
        action: 'replace',
        partNumber: `${kind.partPrefix}-WP-21`,
        lot: lotOf(day, kind.partPrefix),
        finding: 'dripping from the weep hole, bearing rough',
        failed: true,
      },
      coolantLine(kind, day),
    ],
  };
}

/** Friday afternoon: the circuit did not hold pressure, and the vehicle was released anyway. */
function releasedOnFriday(vehicle: Vehicle, day: number): PostedReport {
  const { capPsi } = vehicle.kind;
  return {
    ...reportOf(vehicle, day, ['coolant']),
    performedAt: instantOf(day, 15, 40),
    readings: [...coolantReadings(vehicle), pressureTestOf(capPsi, capPsi - 3.5)],
    releasedForService: 'yes',
    notes: 'Drops on the pressure tester, no leak found by eye. Needed back for the weekend.',
  };
}

function torqueMissed(vehicle: Vehicle, day: number): PostedReport {
  const { kind } = vehicle;
  return {
    ...reportOf(vehicle, day, ['pump', 'yearly']),
    readings: [...coolantReadings(vehicle), torqueSetOf(kind, kind.pumpFasteners.count - 1)],
    releasedForService: 'no',
    notes: 'One bolt behind the bracket could not be reached with the wrench that was there.',
  };
}

function outsideAJob(vehicle: Vehicle, day: number, reading: Record<string, unknown>): PostedReading {
  const takenAt = instantOf(day, 6, 5 + (day % 13));
  return {
    unitNumber: vehicle.unitNumber,
    body: { takenAt, ...countersAt(vehicle, day), ...reading },
  };
}

function topUp(
  vehicle: Vehicle,
  day: number,
  shareOfCapacity: number,
  strengthPercent: number,
): PostedReading {
  const { kind } = vehicle;
  return outsideAJob(vehicle, day, {
    kind: 'top-up',
    added: { value: Math.round(kind.capacityL * shareOfCapacity * 10) / 10, unit: 'L' },
    toMark: true,
    strengthPercent,
    base: 'ethylene-glycol',
    technology: kind.technology,
    planned: false,
  });
}

const freezePoint = (vehicle: Vehicle, day: number, valueF: number): PostedReading =>
  outsideAJob(vehicle, day, freezePointOf(valueF));

/**
 * Two digits are swapped: the odometer seems to go back, so the reading is held until somebody
 * looks at it.
 */
function mistypedReading(vehicle: Vehicle, day: number): History['usage'][number] {
  const odometer = shownOn(vehicle, day, 0.6).odometer ?? 0;
  return {
    unitNumber: vehicle.unitNumber,
    readAt: instantOf(day, 12, 10),
    odometer: { value: Math.max(odometer - 9_000, 40), unit: 'mi' },
    source: 'manual',
  };
}
