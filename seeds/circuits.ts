import type { Action, Component } from '../src/domain/intervals/types.js';
import type { CircuitName } from '../src/domain/vehicles/circuits.js';

/** A coolant circuit, with what a spec sheet says of it. Invented figures of invented makers. */
export interface Circuit {
  circuit: CircuitName;
  technology: 'OAT' | 'HOAT' | 'NOAT' | 'low-conductivity';
  capacityL: number;
  drainableL: number;
  capPsi: number;
  /** The maker's limit at 25 °C, µS/cm; null: no limit. */
  conductivityMax: number | null;
  /** What it has besides coolant and hoses. */
  parts: { component: Component; description: string; number: string }[];
}

const POWER_ELECTRONICS: Circuit = {
  circuit: 'power-electronics',
  technology: 'low-conductivity',
  capacityL: 9,
  drainableL: 7.5,
  capPsi: 10,
  conductivityMax: 100,
  parts: [{ component: 'electric-coolant-pump', description: 'pump of the inverter', number: 'EP-11' }],
};

const BATTERY: Circuit = {
  circuit: 'battery',
  technology: 'low-conductivity',
  capacityL: 22,
  drainableL: 19,
  capPsi: 7,
  conductivityMax: 100,
  parts: [
    { component: 'electric-coolant-pump', description: 'pump of the battery', number: 'EP-12' },
    { component: 'chiller', description: 'chiller', number: 'CH-02' },
  ],
};

const CABIN: Circuit = {
  circuit: 'cabin',
  technology: 'OAT',
  capacityL: 14,
  drainableL: 11,
  capPsi: 10,
  conductivityMax: null,
  parts: [{ component: 'coolant-heater', description: 'electric heater', number: 'EH-05' }],
};

/** The circuits of the battery-electric bus, the first one first. */
export const BUS_CIRCUITS = [POWER_ELECTRONICS, BATTERY, CABIN] as const;

/** What the hybrid truck has besides its engine's circuit. */
export const HYBRID_CIRCUITS = [{ ...POWER_ELECTRONICS, capacityL: 7, drainableL: 6 }] as const;

/** Work in one circuit that comes due by the calendar. */
export interface CircuitInterval {
  circuit: CircuitName;
  component: Component;
  action: Action;
  everyMonths: number;
}

export const INVERTER_INTERVALS: CircuitInterval[] = [
  { circuit: 'power-electronics', component: 'coolant', action: 'test', everyMonths: 12 },
  { circuit: 'power-electronics', component: 'coolant', action: 'replace', everyMonths: 60 },
  { circuit: 'power-electronics', component: 'electric-coolant-pump', action: 'inspect', everyMonths: 24 },
];

export const BUS_INTERVALS: CircuitInterval[] = [
  ...INVERTER_INTERVALS,
  { circuit: 'battery', component: 'coolant', action: 'test', everyMonths: 12 },
  { circuit: 'battery', component: 'coolant', action: 'replace', everyMonths: 48 },
  { circuit: 'battery', component: 'electric-coolant-pump', action: 'inspect', everyMonths: 24 },
  { circuit: 'battery', component: 'chiller', action: 'inspect', everyMonths: 24 },
  { circuit: 'cabin', component: 'coolant', action: 'test', everyMonths: 24 },
  { circuit: 'cabin', component: 'coolant', action: 'replace', everyMonths: 60 },
  { circuit: 'cabin', component: 'coolant-heater', action: 'inspect', everyMonths: 12 },
];
