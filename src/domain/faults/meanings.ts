import { type FailureMode, failureMode } from './failure-modes.js';
import type { FaultCode } from './fault-sighting.js';
import type { Message } from '../message.js';
import type { CircuitName } from '../vehicles/circuits.js';
import { faultCodeText } from './fault-code.js';
import { message } from './messages.js';

/** What a fault of the cooling system or the belt drive means to a mechanic. */
export const FAULT_MEANINGS = [
  'overheated',
  'ran-hot',
  'runs-cold',
  'level-low',
  'level-falling',
  'pressure-low',
  'pressure-falling',
  'pressure-high',
  'flow-low',
  'cooling-performance',
  'fan-still',
  'fan-fast',
  'fan-circuit',
  'thermostat-stuck',
  'thermostat-circuit',
  'pump-circuit',
  'filter-blocked',
  'not-charging',
  'temperature-sensor',
  'level-sensor',
  'pressure-sensor',
  'transmission-hot',
] as const;
export type FaultMeaning = (typeof FAULT_MEANINGS)[number];

/** What a parameter means in each failure mode; in the others nothing is known. */
type ByMode = Partial<Record<FailureMode, FaultMeaning>>;

const each = (modes: readonly FailureMode[], meaning: FaultMeaning): ByMode =>
  Object.fromEntries(modes.map((mode) => [mode, meaning]));

const HIGH = ['high-most', 'high-moderate', 'high-least'] as const;
const LOW = ['low-most', 'low-moderate', 'low-least'] as const;

const TEMPERATURE: ByMode = {
  ...each(['high-most', 'high-moderate'], 'overheated'),
  ...each(['high-least'], 'ran-hot'),
  ...each(LOW, 'runs-cold'),
  ...each(['signal'], 'temperature-sensor'),
};
const LEVEL: ByMode = {
  ...each(['low-most', 'low-moderate'], 'level-low'),
  ...each(['low-least'], 'level-falling'),
  ...each(['signal'], 'level-sensor'),
};
const PRESSURE: ByMode = {
  ...each(['low-most', 'low-moderate'], 'pressure-low'),
  ...each(['low-least'], 'pressure-falling'),
  ...each(HIGH, 'pressure-high'),
  ...each(['signal'], 'pressure-sensor'),
};
const FAN_DRIVE: ByMode = { ...each(['signal'], 'fan-circuit'), ...each(['mechanical'], 'fan-still') };
const FAN_SPEED: ByMode = { ...FAN_DRIVE, ...each(LOW, 'fan-still'), ...each(HIGH, 'fan-fast') };
const THERMOSTAT: ByMode = {
  ...each(['signal'], 'thermostat-circuit'),
  ...each(['mechanical'], 'thermostat-stuck'),
};

/**
 * Parameters of SAE J1939-71 by their number (SPN), each with its name there. What to make of each
 * is common practice.
 */
const PARAMETERS: Readonly<Record<number, ByMode>> = {
  // Engine Extended Range Coolant Pressure
  20: PRESSURE,
  // Engine Coolant Pressure
  109: PRESSURE,
  // Engine Coolant Temperature
  110: TEMPERATURE,
  // Engine Coolant Level
  111: LEVEL,
  // Engine Coolant Filter Differential Pressure
  112: each(HIGH, 'filter-blocked'),
  // Charging System Potential
  167: each(LOW, 'not-charging'),
  // Transmission Oil Temperature
  177: each(HIGH, 'transmission-hot'),
  // Engine Fan Clutch Output Device Driver
  647: FAN_DRIVE,
  // Estimated Percent Fan Speed
  975: FAN_SPEED,
  // Fan Drive State
  977: FAN_DRIVE,
  // Requested Percent Fan Speed
  986: FAN_DRIVE,
  // Cooling Fan Drive Output
  1071: FAN_DRIVE,
  // Engine Coolant Temperature 2
  1637: TEMPERATURE,
  // Fan Speed
  1639: FAN_SPEED,
  // Engine Coolant System Thermostat
  1659: THERMOSTAT,
  // Engine Coolant Level, Main Radiator
  2430: LEVEL,
  // Engine Cooling System Monitor
  3060: each([...HIGH, ...LOW, 'mechanical'], 'cooling-performance'),
  // Engine Coolant Pump Differential Pressure
  3342: each(LOW, 'flow-low'),
  // Engine Intercooler Coolant Level
  3668: LEVEL,
  // Engine Aftercooler Coolant Level
  3676: LEVEL,
  // Engine Coolant Pump Outlet Temperature
  4193: TEMPERATURE,
  // Engine Coolant Thermostat Opening
  4194: THERMOSTAT,
  // Engine Coolant Pressure 2
  5708: PRESSURE,
};

/** Codes of SAE J2012 / ISO 15031-6, by what they mean. What to make of each is common practice. */
const OBD_CODES: Readonly<Partial<Record<FaultMeaning, readonly string[]>>> = {
  overheated: ['P0217'],
  'runs-cold': ['P0125', 'P0126', 'P0128'],
  'level-low': ['P2560'],
  'flow-low': ['P00B7'],
  'cooling-performance': ['P2181'],
  'fan-still': ['P0483', 'P0494'],
  'fan-fast': ['P0493', 'P0495'],
  'fan-circuit': [
    ...['P0480', 'P0481', 'P0482', 'P0484', 'P0485'],
    ...['P0526', 'P0527', 'P0528', 'P0529'],
    ...['P0691', 'P0692', 'P0693', 'P0694', 'P0695', 'P0696'],
  ],
  'thermostat-circuit': ['P0597', 'P0598', 'P0599'],
  'pump-circuit': [
    // That their pump is the coolant's is from memory.
    ...['P2600', 'P2601', 'P2602', 'P2603'],
    ...['P0A05', 'P0A06', 'P0A07', 'P0C48'],
  ],
  'not-charging': ['P0562'],
  'temperature-sensor': [
    ...['P0115', 'P0116', 'P0117', 'P0118', 'P0119', 'P011A'],
    ...['P00B1', 'P00B2', 'P00B3', 'P00B4', 'P00B5', 'P00B6'],
    ...['P2182', 'P2183', 'P2184', 'P2185', 'P2186'],
    ...['P0A00', 'P0A01', 'P0A02', 'P0A03', 'P0A04', 'P0C44', 'P0C45'],
  ],
  // P2557 and P2559 are from memory.
  'level-sensor': ['P2556', 'P2557', 'P2558', 'P2559'],
  'transmission-hot': ['P0218'],
};

/**
 * The codes that name another circuit than the engine's: by SPN, and of SAE J2012 / ISO 15031-6.
 *
 * Names: "Engine Intercooler Coolant Level" and "Engine Aftercooler Coolant Level" (SAE J1939-71);
 * "Motor Electronics Coolant Temperature Sensor" and "… Coolant Pump" (P0A00 to P0A07),
 * "Hybrid/EV Battery Pack Coolant Temperature Sensor" and "… Coolant Pump" (P0C44, P0C45, P0C48).
 */
const OTHER_CIRCUITS: ReadonlyMap<number | string, CircuitName> = new Map<number | string, CircuitName>([
  [3668, 'charge-air'],
  [3676, 'charge-air'],
  ...['P0A00', 'P0A01', 'P0A02', 'P0A03', 'P0A04', 'P0A05', 'P0A06', 'P0A07'].map(
    (code) => [code, 'power-electronics'] as const,
  ),
  ...['P0C44', 'P0C45', 'P0C48'].map((code) => [code, 'battery'] as const),
]);

/** What is about a coolant. The rest is about fans, charging or the transmission. */
const OF_COOLANT: ReadonlySet<FaultMeaning> = new Set<FaultMeaning>([
  ...(['overheated', 'ran-hot', 'runs-cold', 'level-low', 'level-falling'] as const),
  ...(['pressure-low', 'pressure-falling', 'pressure-high', 'flow-low', 'cooling-performance'] as const),
  ...(['thermostat-stuck', 'thermostat-circuit', 'pump-circuit', 'filter-blocked'] as const),
  ...(['temperature-sensor', 'level-sensor', 'pressure-sensor'] as const),
]);

const MEANING_OF_OBD = new Map<string, FaultMeaning>(
  FAULT_MEANINGS.flatMap((meaning) => (OBD_CODES[meaning] ?? []).map((code) => [code, meaning] as const)),
);

/** The parameters and codes that mean something, for looking up only those. */
export const KNOWN_SPNS: readonly number[] = Object.keys(PARAMETERS).map(Number);
export const KNOWN_OBD_CODES: readonly string[] = [...MEANING_OF_OBD.keys()];

/**
 * What a fault code means for the cooling system and the belt drive.
 *
 * A failure mode that is electrical is about the sensor and its wiring, and says nothing about the
 * coolant. One that gives no cause (11, 14, 31) means nothing here.
 *
 * Source: SAE J1939-71 for the parameters, SAE J1939-73 for the failure modes, SAE J2012 /
 * ISO 15031-6 for the other codes; what to make of each is common practice.
 *
 * @returns null for a code that means nothing here
 * @example meaningOf({ system: 'j1939', spn: 110, fmi: 0 }) // 'overheated'
 * @example meaningOf({ system: 'j1939', spn: 110, fmi: 3 }) // 'temperature-sensor'
 */
export function meaningOf(code: FaultCode): FaultMeaning | null {
  if (code.system === 'obd') return MEANING_OF_OBD.get(code.code) ?? null;
  const mode = failureMode(code.fmi);
  return mode === null ? null : (PARAMETERS[code.spn]?.[mode] ?? null);
}

/**
 * The circuit whose coolant a fault code is about.
 *
 * @returns null for a code that is about no coolant, or means nothing here
 * @example circuitOf({ system: 'j1939', spn: 110, fmi: 0 }) // 'engine'
 * @example circuitOf({ system: 'obd', code: 'P0A06' }) // 'power-electronics'
 */
export function circuitOf(code: FaultCode): CircuitName | null {
  const meaning = meaningOf(code);
  if (meaning === null || !OF_COOLANT.has(meaning)) return null;
  return OTHER_CIRCUITS.get(code.system === 'obd' ? code.code : code.spn) ?? 'engine';
}

/**
 * Where a meaning comes from; null for a code that means nothing here.
 *
 * @example sourceOf({ system: 'obd', code: 'P0217' }) // 'SAE J2012 / ISO 15031-6, P0217'
 */
export function sourceOf(code: FaultCode): Message | null {
  if (meaningOf(code) === null) return null;
  if (code.system === 'obd') return message('fault-source-obd', { code: code.code });
  return message('fault-source-j1939', { spn: String(code.spn), fmi: String(code.fmi) });
}

const FAILURE_MODES = Array.from({ length: 32 }, (_, fmi) => fmi);

/** Every code that means something, as it is shown. */
export const KNOWN_CODES: readonly string[] = [
  ...KNOWN_OBD_CODES,
  ...KNOWN_SPNS.flatMap((spn) => FAILURE_MODES.map((fmi) => ({ system: 'j1939' as const, spn, fmi })))
    .filter((code) => meaningOf(code) !== null)
    .map(faultCodeText),
];
