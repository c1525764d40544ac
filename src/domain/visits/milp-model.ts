import { PREPARATIONS, visitHours } from './labour-hours.js';
import type { Assignment, LineToPlan, VisitProblem } from './types.js';
import { byVehicle } from './vehicle-visits.js';
import { HOURS_ROUNDING, hoursFree, timingCost, visitCost } from './visit-cost.js';

/**
 * Lines that are done on a day: all that one vehicle comes in for, or, of a vehicle with many
 * lines, one of them.
 */
export interface Choice {
  lines: readonly LineToPlan[];
  day: number;
}

/**
 * The planning of visits as a mixed-integer linear program (MILP): the least costs · x + offset,
 * where the matrix (by rows, compressed) times x is at most `atMost` and at least `atLeast`. The
 * first columns say that a choice is taken, and are whole numbers, 0 or 1; those after them that
 * a preparation is done on a vehicle on a day, and become whole by themselves.
 */
export interface MilpModel {
  offset: number;
  costs: Float64Array;
  atLeast: Float64Array;
  atMost: Float64Array;
  starts: Int32Array;
  indices: Int32Array;
  values: Float64Array;
  /** The meaning of each of the first columns. */
  choices: readonly Choice[];
  /** The further columns: a preparation of a vehicle on a day. */
  openings: ReadonlyMap<string, number>;
}

/**
 * Where a vehicle has at most this many lines, each group of them is a choice of its own: a whole
 * visit. Whole visits prove a plan near the least cost, since they take large pieces of a day's
 * hours and the solver sees how few of them fit. With more lines there would be too many groups.
 */
const MOST_GROUPED = 5;

interface Column {
  cost: number;
  hours: number;
  day: number;
}

/**
 * States a problem as a MILP model. It has no choices that cost more than leaving their lines out,
 * and no other day for a line whose day is fixed.
 */
export function milpModelOf(problem: VisitProblem): MilpModel {
  const leftOut = new Map(
    problem.lines.map((line) => [line, visitCost([line], problem.dayAfter, problem.rates).total]),
  );
  const choices: Choice[] = [];
  const columns: Column[] = [];
  const add = (choice: Choice, cost: number, hours: number): void => {
    const saved = choice.lines.reduce((sum, line) => sum + (leftOut.get(line) ?? 0), 0);
    if (cost >= saved && choice.lines.every(({ fixedOn }) => fixedOn === null)) return;
    choices.push(choice);
    columns.push({ cost: cost - saved, hours, day: choice.day });
  };
  const single: Choice[] = [];
  for (const lines of byVehicle(problem.lines)) {
    if (lines.length > MOST_GROUPED) {
      for (const line of lines) {
        for (const day of daysFor(problem, [line])) {
          const { lateness, lifeThrownAway } = timingCost(line, day, problem.rates);
          const work = line.labour.ownHours * problem.rates.labourPerHour;
          const before = choices.length;
          add({ lines: [line], day }, work + lateness + lifeThrownAway, line.labour.ownHours);
          single.push(...choices.slice(before));
        }
      }
      continue;
    }
    for (const group of groupsOf(lines)) {
      const hours = visitHours(group);
      for (const day of daysFor(problem, group)) {
        if (hours > hoursFree(problem, day) + HOURS_ROUNDING) continue;
        add({ lines: group, day }, visitCost(group, day, problem.rates).total, hours);
      }
    }
  }
  const openings = openingsOf(problem, single, columns);
  const offset = [...leftOut.values()].reduce((sum, each) => sum + each, 0);
  return {
    offset,
    choices,
    openings,
    costs: Float64Array.from(columns, ({ cost }) => cost),
    ...rowsOf(problem, choices, openings, columns),
  };
}

/** Every group of some lines that is not empty. */
function groupsOf(lines: readonly LineToPlan[]): LineToPlan[][] {
  return Array.from({ length: (1 << lines.length) - 1 }, (_, i) =>
    lines.filter((_line, bit) => ((i + 1) & (1 << bit)) !== 0),
  );
}

/** The days on which lines may be done together. */
function daysFor(problem: VisitProblem, lines: readonly LineToPlan[]): number[] {
  return problem.days.filter((day) =>
    lines.every(({ fixedOn, windowOpensOn }) => (fixedOn === null ? day >= windowOpensOn : day === fixedOn)),
  );
}

/** Adds a column for each preparation that a line done by itself needs. */
function openingsOf(
  { rates }: VisitProblem,
  single: readonly Choice[],
  columns: Column[],
): Map<string, number> {
  const openings = new Map<string, number>();
  for (const { lines, day } of single) {
    for (const line of lines) {
      for (const name of PREPARATIONS) {
        const hours = line.labour.opening[name];
        const key = keyOf(line, day, name);
        if (hours === undefined || openings.has(key)) continue;
        const cost = hours * rates.labourPerHour + (name === 'take-in' ? rates.downtimePerDay : 0);
        openings.set(key, columns.push({ cost, hours, day }) - 1);
      }
    }
  }
  return openings;
}

const keyOf = ({ vehicleId }: LineToPlan, day: number, preparation: string): string =>
  `${vehicleId} ${day} ${preparation}`;

/**
 * A line done once at most, its preparations with it, and no more hours on a day than there are.
 */
function rowsOf(
  problem: VisitProblem,
  choices: readonly Choice[],
  openings: ReadonlyMap<string, number>,
  columns: readonly Column[],
): Pick<MilpModel, 'atLeast' | 'atMost' | 'starts' | 'indices' | 'values'> {
  const rows = [
    ...(openings.size === 0 ? [] : preparationRows(choices, openings)),
    ...lineRows(choices),
    ...dayRows(problem, columns),
  ];
  const starts = new Int32Array(rows.length + 1);
  rows.forEach(({ terms }, row) => (starts[row + 1] = starts[row]! + terms.length));
  return {
    atLeast: Float64Array.from(rows, ({ atLeast }) => atLeast),
    atMost: Float64Array.from(rows, ({ atMost }) => atMost),
    starts,
    indices: Int32Array.from(rows.flatMap(({ terms }) => terms.map(([column]) => column))),
    values: Float64Array.from(rows.flatMap(({ terms }) => terms.map(([, value]) => value))),
  };
}

/** A row of the matrix: the sum of its terms is between the two limits. */
interface Row {
  terms: readonly (readonly [column: number, value: number])[];
  atLeast: number;
  atMost: number;
}

/** No line on a day without each preparation that it needs. */
function preparationRows(choices: readonly Choice[], openings: ReadonlyMap<string, number>): Row[] {
  return choices.flatMap(({ lines, day }, column) =>
    lines.flatMap((line) =>
      PREPARATIONS.flatMap((name): Row[] => {
        const opening = openings.get(keyOf(line, day, name));
        if (opening === undefined || line.labour.opening[name] === undefined) return [];
        const terms = [[column, 1] as const, [opening, -1] as const];
        return [{ terms, atLeast: -Infinity, atMost: 0 }];
      }),
    ),
  );
}

/** Each line once at most; on the day that is decided on, exactly once. */
function lineRows(choices: readonly Choice[]): Row[] {
  const columnsOf = new Map<LineToPlan, number[]>();
  choices.forEach(({ lines }, column) => {
    for (const line of lines) {
      const own = columnsOf.get(line);
      if (own) own.push(column);
      else columnsOf.set(line, [column]);
    }
  });
  return [...columnsOf].map(([{ fixedOn }, own]) => ({
    terms: own.map((column) => [column, 1] as const),
    atLeast: fixedOn === null ? -Infinity : 1,
    atMost: 1,
  }));
}

/** No more hours on a day than are free. */
function dayRows(problem: VisitProblem, columns: readonly Column[]): Row[] {
  const termsOf = new Map<number, [number, number][]>(problem.days.map((day) => [day, []]));
  columns.forEach(({ day, hours }, column) => termsOf.get(day)?.push([column, hours]));
  return [...termsOf]
    .filter(([, terms]) => terms.length > 0)
    .map(([day, terms]) => ({ terms, atLeast: -Infinity, atMost: hoursFree(problem, day) }));
}

/** The assignment for given values of the model's columns. */
export function assignmentOf(
  problem: VisitProblem,
  { choices }: MilpModel,
  values: ArrayLike<number>,
): Assignment {
  const days = new Map<string, number | null>(problem.lines.map(({ id }) => [id, null]));
  choices.forEach(({ lines, day }, column) => {
    if ((values[column] ?? 0) > 0.5) for (const { id } of lines) days.set(id, day);
  });
  return days;
}

/** The values of the model's columns for an assignment. */
export function valuesOf({ costs, choices, openings }: MilpModel, assignment: Assignment): Float64Array {
  const values = new Float64Array(costs.length);
  const together = new Map<string, number>();
  const visitOf = ({ vehicleId }: LineToPlan, day: number): string => `${vehicleId} ${day}`;
  const lines = new Set(choices.flatMap((choice) => choice.lines));
  for (const line of lines) {
    const day = assignment.get(line.id) ?? null;
    if (day !== null) together.set(visitOf(line, day), (together.get(visitOf(line, day)) ?? 0) + 1);
  }
  choices.forEach(({ lines: group, day }, column) => {
    const [first] = group;
    if (!first || group.some(({ id }) => assignment.get(id) !== day)) return;
    const isOpened = openings.has(keyOf(first, day, 'take-in'));
    if (!isOpened && together.get(visitOf(first, day)) !== group.length) return;
    values[column] = 1;
    for (const name of PREPARATIONS) {
      const opening = openings.get(keyOf(first, day, name));
      if (opening !== undefined && first.labour.opening[name] !== undefined) values[opening] = 1;
    }
  });
  return values;
}
