import type { FaultCode } from '../../../domain/faults/fault-sighting.js';
import type { Message } from '../../../domain/message.js';

/** How a source names a machine. Absent fields are null; at least one of the first three is not. */
export interface MachineIdentity {
  /** The VIN of a vehicle or the PIN of a machine, in capital letters. */
  vin: string | null;
  serialNumber: string | null;
  equipmentId: string | null;
  make: string | null;
  model: string | null;
}

/** One value with the instant the machine gave it. `at`: epoch milliseconds. */
export interface TimedValue {
  at: number;
  value: number;
}

export interface MachineFault {
  at: number;
  code: FaultCode;
  isActive: boolean;
  occurrences: number | null;
  /** The warning lamp that the code stands for; absent where the machine reported the code. */
  lamp?: string;
}

/** A value that was refused: where in the document, and why. */
export interface Refusal {
  path: string;
  why: Message;
}

/**
 * What one document says of one machine, in canonical units. Values are in the document's order.
 */
export interface MachineReport {
  identity: MachineIdentity;
  /** km */
  odometerKm: TimedValue[];
  /** h */
  engineHours: TimedValue[];
  /** °C */
  coolantC: TimedValue[];
  faults: MachineFault[];
  refused: Refusal[];
}

/** One page of a source. */
export interface SourcePage {
  /** A machine that the document lists twice is here twice, unless its reader says otherwise. */
  machines: MachineReport[];
  /** Absolute or relative link of the next page. */
  next: string | null;
  /** What was refused and belongs to no machine that has a name. */
  refused: Refusal[];
}

/** Thrown for a page that cannot be read as a whole. */
export class UnreadableDocument extends Error {
  override readonly name = 'UnreadableDocument';

  constructor(readonly why: Message) {
    super(why.code);
  }
}
