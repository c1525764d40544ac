import { PREPARATIONS } from './labour-hours.js';
import type { Assignment, LineToPlan, VisitProblem } from './types.js';
import { hoursFree, timingCost, visitCost } from './visit-cost.js';

/**
 * The planning of visits as a mixed-integer programme: the least costs · x + offset, where the matrix (by rows, compressed) times x is at most
 * `atMost` and at least `atLeast`. The first columns say that a line is done on a day and are whole numbers, 0 or 1; those after them that
 * a preparation is done on a vehicle on a day, and become whole by themselves.
 */
export interface Programme {
  offset: number;
  costs: Float64Array;
  atLeast: Float64Array;
  atMost: Float64Array;
  starts: Int32Array;
  indices: Int32Array;
  values: Float64Array;
  /** What each of the first columns stands for. */
  choices: readonly { line: LineToPlan; day: number }[];
  /** The further columns: a preparation of a vehicle on a day. */
  openings: ReadonlyMap<string, number>;
}

interface Rows {
  atLeast: number[];
  atMost: number[];
  starts: number[];
  indices: number[];
  values: number[];
}

/**
 * States a problem as a programme. What is worth more to leave out than even a visit that is there already is not among the choices;
 * neither is another day for a line whose day is decided on.
 */
export function programmeOf(problem: VisitProblem): Programme {
  const { rates } = problem;
  const costs: number[] = [];
  const choices: { line: LineToPlan; day: number }[] = [];
  const hours: number[] = [];
  let offset = 0;
  const ofLine: number[][] = [];
  for (const line of problem.lines) {
    const leftOut = visitCost([line], problem.dayAfter, rates).total;
    offset += leftOut;
    const columns: number[] = [];
    for (const day of daysOf(problem, line)) {
      const { lateness, lifeThrownAway } = timingCost(line, day, rates);
      const cost = line.labour.ownHours * rates.labourPerHour + lateness + lifeThrownAway;
      if (line.fixedOn === null && cost >= leftOut) continue;
      columns.push(choices.push({ line, day }) - 1);
      costs.push(cost - leftOut);
      hours.push(line.labour.ownHours);
    }
    ofLine.push(columns);
  }
  const openings = new Map<string, number>();
  const dayOf: number[] = choices.map(({ day }) => day);
  const rows: Rows = { atLeast: [], atMost: [], starts: [0], indices: [], values: [] };
  choices.forEach(({ line, day }, column) => {
    for (const name of PREPARATIONS) {
      const takes = line.labour.opening[name];
      if (takes === undefined) continue;
      const key = keyOf(line, day, name);
      let opening = openings.get(key);
      if (opening === undefined) {
        opening =
          costs.push(takes * rates.labourPerHour + (name === 'take-in' ? rates.downtimePerDay : 0)) - 1;
        openings.set(key, opening);
        hours.push(takes);
        dayOf.push(day);
      }
      addRow(rows, [column, opening], [1, -1], -Infinity, 0);
    }
  });
  problem.lines.forEach((line, i) => {
    const columns = ofLine[i] ?? [];
    if (columns.length > 0)
      addRow(
        rows,
        columns,
        columns.map(() => 1),
        line.fixedOn === null ? -Infinity : 1,
        1,
      );
  });
  for (const day of problem.days) {
    const columns = dayOf.flatMap((each, column) => (each === day ? [column] : []));
    if (columns.length > 0)
      addRow(
        rows,
        columns,
        columns.map((column) => hours[column] ?? 0),
        -Infinity,
        hoursFree(problem, day),
      );
  }
  return {
    offset,
    costs: Float64Array.from(costs),
    atLeast: Float64Array.from(rows.atLeast),
    atMost: Float64Array.from(rows.atMost),
    starts: Int32Array.from(rows.starts),
    indices: Int32Array.from(rows.indices),
    values: Float64Array.from(rows.values),
    choices,
    openings,
  };
}

function daysOf(problem: VisitProblem, { fixedOn, windowOpensOn }: LineToPlan): readonly number[] {
  return fixedOn === null ? problem.days.filter((day) => day >= windowOpensOn) : [fixedOn];
}

const keyOf = ({ vehicleId }: LineToPlan, day: number, preparation: string): string =>
  `${vehicleId} ${day} ${preparation}`;

function addRow(rows: Rows, columns: number[], values: number[], atLeast: number, atMost: number): void {
  rows.indices.push(...columns);
  rows.values.push(...values);
  rows.starts.push(rows.indices.length);
  rows.atLeast.push(atLeast);
  rows.atMost.push(atMost);
}

/** The assignment that values of the programme's columns stand for. */
export function assignmentOf(
  problem: VisitProblem,
  { choices }: Programme,
  values: ArrayLike<number>,
): Assignment {
  const days = new Map<string, number | null>(problem.lines.map(({ id }) => [id, null]));
  choices.forEach(({ line, day }, column) => {
    if ((values[column] ?? 0) > 0.5) days.set(line.id, day);
  });
  return days;
}

/** The values of the programme's columns that an assignment stands for. */
export function valuesOf({ costs, choices, openings }: Programme, assignment: Assignment): Float64Array {
  const values = new Float64Array(costs.length);
  choices.forEach(({ line, day }, column) => {
    if (assignment.get(line.id) !== day) return;
    values[column] = 1;
    for (const name of PREPARATIONS) {
      const opening = openings.get(keyOf(line, day, name));
      if (opening !== undefined && line.labour.opening[name] !== undefined) values[opening] = 1;
    }
  });
  return values;
}
