import type { MatchedBy } from '../../../entities/telematics-source.entity.js';
import type { MachineIdentity } from '../documents/machine-report.js';
import type { Candidate, KnownMachine, MachineOfVehicle } from './machines.queries.js';

/** The vehicle that a machine is, if any. */
export interface Match {
  vehicleId: string | null;
  matchedBy: MatchedBy | null;
  isAmbiguous: boolean;
}

const UNKNOWN: Match = { vehicleId: null, matchedBy: null, isAmbiguous: false };

/** A number as people may have typed it. */
const spellings = (number: string | null): string[] =>
  number === null ? [] : [...new Set([number, number.toUpperCase(), number.toLowerCase()])];

/** The numbers by which to look for vehicles. A machine's PIN may be kept as its serial number. */
export function numbersOf(identities: readonly MachineIdentity[]): { vins: string[]; serials: string[] } {
  const vins = identities.flatMap(({ vin }) => vin ?? []);
  const serials = identities.flatMap(({ vin, serialNumber }) => [
    ...spellings(vin),
    ...spellings(serialNumber),
  ]);
  return { vins: [...new Set(vins)], serials: [...new Set(serials)] };
}

/** Looks vehicles up by their numbers. */
export class Candidates {
  readonly #byVin = new Map<string, Candidate>();
  readonly #bySerial = new Map<string, Candidate[]>();

  constructor(found: readonly Candidate[]) {
    for (const candidate of found) {
      const { vin, serialNumber } = candidate;
      if (vin !== null) this.#byVin.set(vin, candidate);
      if (serialNumber === null) continue;
      const serial = serialNumber.toUpperCase();
      this.#bySerial.set(serial, [...(this.#bySerial.get(serial) ?? []), candidate]);
    }
  }

  /**
   * The vehicle that a machine is: the one that somebody named, else the one with its VIN, else the
   * only one with its serial number. Serial numbers of two makers may be the same, so the make
   * decides between several.
   */
  matchOf({ vin, serialNumber, make }: MachineIdentity, known: KnownMachine | undefined): Match {
    if (known?.matchedBy === 'mapping')
      return { ...UNKNOWN, vehicleId: known.vehicleId, matchedBy: 'mapping' };
    const own = vin === null ? undefined : this.#byVin.get(vin);
    if (own) return { ...UNKNOWN, vehicleId: own.id, matchedBy: 'vin' };
    const numbers = [vin, serialNumber].flatMap((number) => number?.toUpperCase() ?? []);
    for (const number of numbers) {
      const all = this.#bySerial.get(number) ?? [];
      const ofMake = all.filter((one) => make !== null && one.make?.toLowerCase() === make.toLowerCase());
      const [first, ...others] = all.length > 1 ? ofMake : all;
      if (first && others.length === 0)
        return { ...UNKNOWN, vehicleId: first.id, matchedBy: 'serial-number' };
      if (all.length > 1) return { ...UNKNOWN, isAmbiguous: true };
    }
    return UNKNOWN;
  }
}

/** A machine that has been silent for this long leaves its vehicle's counters to another. */
const SILENT_MS = 7 * 86_400_000;

/**
 * The machine that gives the counters of each vehicle: the one known longest of those that still
 * report. Two devices have two offsets, so only one can be followed.
 */
export function leaders(machines: readonly MachineOfVehicle[], now: Date): Map<string, string> {
  const isAlive = ({ reportedAt }: MachineOfVehicle): boolean =>
    reportedAt !== null && now.getTime() - reportedAt.getTime() < SILENT_MS;
  const inOrder = [...machines].sort(
    (a, b) =>
      Number(isAlive(b)) - Number(isAlive(a)) ||
      a.firstSeenAt.getTime() - b.firstSeenAt.getTime() ||
      (a.id < b.id ? -1 : 1),
  );
  const leading = new Map<string, string>();
  for (const { id, vehicleId } of inOrder) if (!leading.has(vehicleId)) leading.set(vehicleId, id);
  return leading;
}
