import type { WorkLine } from '../../domain/intervals/types.js';
import type { CardSheet, JobCardInput } from '../../domain/job-card/job-card.js';
import { type CardOfCircuits, jobCardOfCircuits } from '../../domain/job-card/job-card-of-circuits.js';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import {
  type CircuitName,
  CIRCUITS,
  ENGINE_ALONE,
  isElectric,
  isSameCircuit,
  namedCircuit,
  type VehicleCircuits,
} from '../../domain/vehicles/circuits.js';
import type { CoolantState } from './coolant-state.queries.js';
import type { CardContentRow } from './job-card.queries.js';
import { conditionOf, freezePointOf, otherSheetOf, sheetOf } from './card-sheet.js';

/** One circuit that a job works in. */
export interface CircuitPart {
  /** As it is recorded: null is the first. */
  circuit: CircuitName | null;
  name: CircuitName;
  /** Null where the vehicle has only one. */
  named: CircuitName | null;
  lines: WorkLine[];
  sheet: CardSheet | null;
  state: CoolantState;
}

const NOTHING_KNOWN: CoolantState = {
  ...{ freezePointAt: null, freezePointTyped: null, freezePointEvaluation: null },
  ...{ condition: null, strengthPercent: null },
};

/** The circuits of the vehicle by its spec sheet. */
export function circuitsOf({ firstCircuit, otherCircuits }: CardContentRow): VehicleCircuits {
  if (firstCircuit === null) return ENGINE_ALONE;
  return { first: firstCircuit, others: (otherCircuits ?? []).map(({ circuit }) => circuit) };
}

/** The circuits besides the first that the work is in. */
export function otherCircuitsOf(work: readonly WorkLine[], { first }: VehicleCircuits): CircuitName[] {
  return CIRCUITS.filter(
    (circuit) => circuit !== first && work.some((line) => isSameCircuit(line, { circuit })),
  );
}

/**
 * The work circuit by circuit, with what is known of the coolant in each.
 *
 * @param stateIn what is known of the coolant in a circuit besides the first
 */
export function circuitsOnCard(
  row: CardContentRow,
  work: readonly WorkLine[],
  circuits: VehicleCircuits,
  stateIn: (circuit: CircuitName) => CoolantState | undefined,
): CircuitPart[] {
  const inFirst = work.some((line) => isSameCircuit(line, { circuit: null }));
  const worked = [...(inFirst ? [null] : []), ...otherCircuitsOf(work, circuits)];
  return (worked.length === 0 ? [null] : worked).map((circuit) => ({
    circuit,
    name: circuit ?? circuits.first,
    named: namedCircuit(circuit, circuits),
    lines: work.filter((line) => isSameCircuit(line, { circuit })),
    sheet: circuit === null ? sheetOf(row) : otherSheetOf(row, circuit),
    state: circuit === null ? row : (stateIn(circuit) ?? NOTHING_KNOWN),
  }));
}

/**
 * The content of the card from the domain: steps, parts, torques, coolant, tests, missing data and
 * cautions, circuit by circuit.
 */
export function contentOf(
  row: CardContentRow,
  parts: readonly CircuitPart[],
  leaksIn: ReadonlySet<CircuitName | null>,
  units: UnitSystem,
): CardOfCircuits {
  const inputs = parts.map(({ circuit, name, named: told, lines, sheet, state }): JobCardInput => ({
    // Each step is told with its circuit, so that its parts need not be.
    lines: lines.map(({ component, action, item }) => ({ component, action, item })),
    circuit: told,
    isElectric: isElectric(name),
    sheet,
    elevationM: row.workedAtDepotId === null ? row.elevationM : row.workedAtElevationM,
    strengthPercent: state.strengthPercent,
    isHourOnly: row.odometerLifetimeKm === null && row.engineHoursLifetime !== null,
    condition: conditionOf(state),
    freezePointVerdict: freezePointOf(state)?.verdict ?? null,
    losesCoolant: leaksIn.has(circuit),
    practice: row.practice,
    units,
  }));
  return jobCardOfCircuits(inputs as [JobCardInput, ...JobCardInput[]]);
}
