import { isInCircuit } from '../intervals/circuit-opening.js';
import type { DuePoint, NoBaseline, WorkLine } from '../intervals/types.js';
import { namedCircuit } from '../vehicles/circuits.js';
import { reminderCycle } from './postponements.js';
import { type ConcludedLine, NEVER, rounded } from './stored-line.js';
import type { Position, VehicleHistory } from './vehicle-history.js';

/** A projected date beyond this only means "not in the life of this vehicle". */
const HORIZON = '2400-01-01';

const within = (date: string | null): string | null =>
  date !== null && date < HORIZON && /^\d{4}-/.test(date) ? date : null;

/** Identifies the line, whatever its dates. */
type Identity = Pick<
  ConcludedLine,
  | 'vehicleId'
  | 'unitNumber'
  | 'depotId'
  | 'component'
  | 'action'
  | 'item'
  | 'circuit'
  | 'namedCircuit'
  | 'origin'
  | 'originKey'
>;

export function identityOf(
  { vehicleId, unitNumber, depotId, circuits }: VehicleHistory,
  { component, action, item, circuit = null }: WorkLine,
  origin: ConcludedLine['origin'],
  originKey: string,
): Identity {
  // A belt or a fan belongs to no circuit, unless a reading in one called for it.
  const named = circuit !== null || isInCircuit(component) ? namedCircuit(circuit, circuits) : null;
  const work = { component, action, item, circuit, namedCircuit: named };
  return { vehicleId, unitNumber, depotId, ...work, origin, originKey };
}

/** When the work of a line was last done, and at what usage. */
export interface Done extends Position {
  on: string | null;
  jobId: string | null;
}

export const NOT_DONE: Done = { on: null, odometerLifetimeKm: null, engineHoursLifetime: null, jobId: null };

/**
 * A line as it is stored: its dates, the cycle as reminders know it, and until when a manager put
 * it off, and whether its interval is ready-made. Every field by name: spread from parts, the
 * lines of a batch would take longer than what they say.
 */
export function concludedLine(
  identity: Identity,
  done: Done,
  concluded: DuePoint | NoBaseline,
  { cycle, isPostponed, isStarter = false }: { cycle: string; isPostponed: boolean; isStarter?: boolean },
): ConcludedLine {
  const point = concluded.state === 'dated' ? concluded : null;
  const dueOn = point && within(point.dueOn);
  const isPutOff = isPostponed && point !== null;
  return {
    vehicleId: identity.vehicleId,
    unitNumber: identity.unitNumber,
    depotId: identity.depotId,
    component: identity.component,
    action: identity.action,
    item: identity.item,
    circuit: identity.circuit,
    namedCircuit: identity.namedCircuit,
    origin: identity.origin,
    originKey: identity.originKey,
    isOpen: true,
    noBaseline: point === null,
    windowOpensOn: (point && within(point.windowOpensOn)) ?? dueOn ?? NEVER,
    dueOn: dueOn ?? NEVER,
    lateOn: (point && within(point.lateOn)) ?? NEVER,
    lateLapsesOn: point && within(point.lateLapsesOn),
    lateForGoodOn: point && within(point.lateForGoodOn),
    earliestOn: point && within(point.earliestOn),
    latestOn: point && within(point.latestOn),
    trigger: dueOn === null ? null : (point?.trigger ?? null),
    dueOdometerLifetimeKm: point && rounded(point.dueAt.odometerLifetimeKm),
    dueEngineHoursLifetime: point && rounded(point.dueAt.engineHoursLifetime),
    dueDate: point && within(point.dueAt.on),
    lastDoneOn: done.on,
    lastDoneOdometerLifetimeKm: done.odometerLifetimeKm,
    lastDoneEngineHoursLifetime: done.engineHoursLifetime,
    lastDoneReportId: done.jobId,
    cycle: reminderCycle(cycle, isPutOff),
    staleOn: point && within(point.staleOn),
    needsReading: point?.needsReading ?? false,
    postponedUntil: isPutOff ? dueOn : null,
    isStarter,
    isAtOnce: false,
    causes: null,
    openedBy: null,
    releasedWith: null,
  };
}
