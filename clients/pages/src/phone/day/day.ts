import type { components } from '../../../../typescript/src/client.js';
import { type DueLine, isToDoAtOnce } from '../../kit/due/due-line.js';

export type Visit = components['schemas']['VisitView'];
export type VisitLine = Visit['lines'][number];

/** A vehicle of the day, with all that is to be done on it. */
export interface DayVehicle {
  id: string;
  unitNumber: string;
  /** The worst first. */
  lines: readonly DueLine[];
  /** The visit planned for the day, or one that was missed. */
  visit: Visit | null;
}

/** A mechanic's day, each vehicle once, the worst first. */
export interface Day {
  /** Something unsafe was found. */
  atOnce: readonly DayVehicle[];
  /** A visit is planned for today, or one was missed. */
  planned: readonly DayVehicle[];
  due: readonly DayVehicle[];
}

/**
 * Puts the day together.
 *
 * @param due the due list, in its order: the worst first
 * @param visits planned visits of any day
 * @param today civil date in the fleet's zone
 * @param me whose day it is; null for a token of nobody in particular
 */
export function dayOf(
  due: readonly DueLine[],
  visits: readonly Visit[],
  today: string,
  me: string | null,
): Day {
  const now = visits.filter(({ day, lines }) => day <= today && lines.some(({ state }) => state === 'open'));
  const byVehicle = new Map<string, DayVehicle>();
  for (const line of due) {
    const { id, unitNumber } = line.vehicle;
    const known = byVehicle.get(id) ?? { id, unitNumber, lines: [], visit: null };
    byVehicle.set(id, { ...known, lines: [...known.lines, line] });
  }
  // The earliest visit of a vehicle comes first.
  for (const visit of now.toSorted((left, right) => right.day.localeCompare(left.day))) {
    const { id, unitNumber } = visit.vehicle;
    const known = byVehicle.get(id) ?? { id, unitNumber, lines: [], visit: null };
    byVehicle.set(id, { ...known, visit });
  }
  const all = [...byVehicle.values()];
  const isAtOnce = ({ lines, visit }: DayVehicle): boolean =>
    lines.some(isToDoAtOnce) ||
    (visit?.lines.some(({ atOnce, state }) => atOnce && state === 'open') ?? false);
  const rest = all.filter((vehicle) => !isAtOnce(vehicle));
  return {
    atOnce: all.filter(isAtOnce),
    planned: rest
      .filter(({ visit }) => visit !== null)
      .toSorted(
        (left, right) =>
          whose(left, me) - whose(right, me) || (left.visit?.day ?? '').localeCompare(right.visit?.day ?? ''),
      ),
    due: rest.filter(({ visit }) => visit === null),
  };
}

/** Orders visits: one's own, then nobody's, then those of others. */
function whose({ visit }: DayVehicle, me: string | null): number {
  const person = visit?.assignedTo ?? null;
  if (person === null) return 1;
  return person.id === me ? 0 : 2;
}

/** The vehicles of a day in the order in which they are seen. */
export const vehiclesOf = ({ atOnce, planned, due }: Day): DayVehicle[] => [...atOnce, ...planned, ...due];

/** Today's civil date in a zone, such as `2026-04-02`. */
export const todayIn = (timeZone: string): string =>
  new Intl.DateTimeFormat('en-CA', { timeZone, year: 'numeric', month: '2-digit', day: '2-digit' }).format(
    new Date(),
  );
