import type { FaultCode } from '../../../domain/faults/fault-sighting.js';

/** The state of a lamp on the dash. */
export type LampState = 'RED' | 'YELLOW' | 'INFO' | 'OFF';

const j1939 = (spn: number, fmi: number): FaultCode => ({ system: 'j1939', spn, fmi });

/**
 * The warning lamps of the cooling system and the charging circuit, and the fault code that each
 * colour stands for here. A lamp is no fault code: the vehicle has not reported an SPN, and a
 * report that comes of a lamp says which lamp.
 *
 * Source of the lamps and their states: the tell-tales of rFMS and the FMS-Standard (from memory;
 * the names and states were seen in public descriptions). Of the parameters: SAE J1939-71, where
 * the parameter has the lamp's name: 110 Engine Coolant Temperature, 111 Engine Coolant Level, 167
 * Charging System Potential. That red is the most severe level (FMI 0 or 1 of SAE J1939-73) and
 * yellow the least severe (15 or 17) is common practice, no source: yellow asks for a look and must
 * not open an inspection after overheating.
 */
const LAMPS: Readonly<Record<string, Readonly<Record<'RED' | 'YELLOW', FaultCode>>>> = {
  ENGINE_COOLANT_TEMPERATURE: { RED: j1939(110, 0), YELLOW: j1939(110, 15) },
  ENGINE_COOLANT_LEVEL: { RED: j1939(111, 1), YELLOW: j1939(111, 17) },
  BATTERY_CHARGING_CONDITION: { RED: j1939(167, 1), YELLOW: j1939(167, 17) },
};

const STATES: readonly string[] = ['RED', 'YELLOW', 'INFO', 'OFF'] satisfies LampState[];

/** What a lamp says of a fault. */
export interface LampSaying {
  code: FaultCode;
  isActive: boolean;
}

/**
 * What a tell-tale says. A lamp in one colour says that the fault of the other colour is gone, too.
 *
 * @param lamp as the document names it
 * @param state as the document names it
 * @returns none for other lamps, and for states that say nothing (NOT_AVAILABLE, reserved)
 * @example sayingsOf('ENGINE_COOLANT_LEVEL', 'RED') // SPN 111 FMI 1 active, SPN 111 FMI 17 gone
 */
export function sayingsOf(lamp: string, state: string): LampSaying[] {
  const codes = Object.hasOwn(LAMPS, lamp) ? LAMPS[lamp] : undefined;
  if (codes === undefined || !STATES.includes(state)) return [];
  return (['RED', 'YELLOW'] as const).map((colour) => ({
    ...{ code: codes[colour], isActive: state === colour },
  }));
}
