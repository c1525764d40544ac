/** A machine of the local telematics server. Tests change it to move its counters. */
export interface SimulatedMachine {
  vin: string | null;
  serialNumber: string | null;
  equipmentId: string | null;
  make: string;
  model: string;
  /** When it sent what follows, RFC 3339. */
  at: string;
  odometerKm: number | null;
  /** How ISO 15143-3 tells the unit; null leaves it out. */
  odometerUnits: 'kilometre' | 'mile' | null;
  engineHours: number | null;
  coolantC: number | null;
  faults: { at: string; identifier: string; source: string | null }[];
  /** Lamps by the names of rFMS, with their states. */
  lamps: Record<string, string>;
}

const MAKES = ['Marrow & Pike', 'Tollbrook', 'Fennimore'] as const;
const MODELS = ['Heron 22', 'Ox', 'Lapwing <4>'] as const;

/**
 * A VIN that no maker has: no world manufacturer identifier begins with 0 (ISO 3780, from memory).
 */
export const vinOf = (index: number): string => `0ZZ${String(index).padStart(14, '0')}`;

/** A machine that works: each has counters of its own. */
export function machineOf(index: number, at = '2026-04-02T15:20:00Z'): SimulatedMachine {
  return {
    vin: vinOf(index),
    serialNumber: `S-${String(index).padStart(6, '0')}`,
    equipmentId: `Unit ${index}`,
    make: MAKES[index % MAKES.length] ?? '',
    model: MODELS[index % MODELS.length] ?? '',
    at,
    odometerKm: 50_000 + index * 7.5,
    odometerUnits: 'kilometre',
    engineHours: 1000 + index * 0.25,
    coolantC: 86,
    faults: [],
    lamps: {},
  };
}

export const machinesOf = (count: number, at?: string): SimulatedMachine[] =>
  Array.from({ length: count }, (_, index) => machineOf(index, at));
