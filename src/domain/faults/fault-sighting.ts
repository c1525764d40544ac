/**
 * A diagnostic trouble code: SAE J1939-73 (suspect parameter number and failure mode identifier) or
 * SAE J2012 / ISO 15031-6 (such as 'P0217').
 */
export type FaultCode = { system: 'j1939'; spn: number; fmi: number } | { system: 'obd'; code: string };

/** What a vehicle, or somebody who read it out, said of one fault code at one instant. */
export interface FaultSighting {
  /** Epoch milliseconds. */
  at: number;
  code: FaultCode;
  /** False: the code was read as gone, or stored and no longer active. */
  isActive: boolean;
  /** How often the vehicle counted it; null where it does not say. */
  occurrences: number | null;
}
