import { stateOn } from '../intervals/due-state.js';
import type { DueState, Trigger } from '../intervals/types.js';
import type { Message } from '../message.js';
import type { CircuitName } from '../vehicles/circuits.js';

/** What is stored for a date that does not come. As text, too, it is greater than any date. */
export const NEVER = 'infinity';

/** A number as it is stored, so that two ways to the same number end in the same one. */
export function rounded(value: number | null): number | null {
  return value === null ? null : Math.round(value * 1e6) / 1e6;
}

/** A due line as it is stored, without its id. A date that never comes is `NEVER`. */
export interface ConcludedLine {
  vehicleId: string;
  unitNumber: string;
  depotId: string | null;
  component: string;
  action: string;
  item: string | null;
  /** Null: the vehicle's first. */
  circuit: CircuitName | null;
  /** As it is told; null where the vehicle has only one. */
  namedCircuit: CircuitName | null;
  origin: 'interval' | 'follow-up';
  originKey: string;
  isOpen: boolean;
  noBaseline: boolean;
  windowOpensOn: string;
  dueOn: string;
  lateOn: string;
  lateLapsesOn: string | null;
  lateForGoodOn: string | null;
  earliestOn: string | null;
  latestOn: string | null;
  trigger: Trigger | null;
  dueOdometerLifetimeKm: number | null;
  dueEngineHoursLifetime: number | null;
  dueDate: string | null;
  lastDoneOn: string | null;
  lastDoneOdometerLifetimeKm: number | null;
  lastDoneEngineHoursLifetime: number | null;
  lastDoneReportId: string | null;
  cycle: string;
  staleOn: string | null;
  needsReading: boolean;
  postponedUntil: string | null;
  /** Its interval is ready-made, and nobody has confirmed or replaced it. */
  isStarter: boolean;
  /** A reading found something unsafe: the line was due the day it was opened. */
  isAtOnce: boolean;
  /** Why a follow-up was opened, the worst first; null for an interval. */
  causes: Message[] | null;
  /**
   * The readings and jobs that opened a follow-up and have yet to be settled; null for an interval.
   */
  openedBy: string[] | null;
  /**
   * Those despite which the vehicle was released for service: failed safety readings. Null if there
   * is none.
   */
  releasedWith: string[] | null;
}

export interface StoredLine extends ConcludedLine {
  id: string;
}

/** Identifies a due line, whatever its dates. */
export function lineIdentity(line: ConcludedLine): string {
  const { component, action, item, circuit, origin, originKey } = line;
  const inCircuit = circuit === null ? '' : `\n\n${circuit}`;
  return `${component}\n${action}\n${origin}\n${originKey}\n${item === null ? '' : `\n${item}`}${inCircuit}`;
}

/** What the state of a line is read from; `NEVER` for a date that does not come. */
export type StoredDueDates = Pick<
  StoredLine,
  'noBaseline' | 'windowOpensOn' | 'dueOn' | 'lateOn' | 'lateLapsesOn' | 'lateForGoodOn'
>;

/**
 * The state of a stored line on a day. `conclusions/due-list/due-state.sql.ts` says the same in
 * SQL.
 *
 * @param today in the fleet's zone
 * @example stateOf({ noBaseline: true, ...dates }, '2026-04-02') // 'no-baseline'
 */
export function stateOf(line: StoredDueDates, today: string): DueState {
  return line.noBaseline ? 'no-baseline' : stateOn(today, line);
}
