import type { Depot } from '../../entities/depot.entity.js';
import { epochDayOf } from '../../domain/calendar/civil-date.js';
import { workTerm } from '../../domain/intervals/terms.js';
import type { Message } from '../../domain/message.js';
import { closedBecause } from '../../domain/visits/working-days.js';
import { workingTimeOf } from './depot-problems.js';
import { message } from './messages.js';

/** A line of a visit: its work, and from when on it may be done. */
export type LineOnDay = Parameters<typeof workTerm>[0] & { windowOpensOn: string };

/**
 * Why a visit with these lines cannot be on a day, whatever other work is planned then. Null when
 * it can.
 */
export function dayFault(
  depot: Depot,
  lines: readonly LineOnDay[],
  day: string,
  today: string,
): Message | null {
  if (day < today) return message('visit-day-past', { day, today });
  const closed = closedBecause(epochDayOf(day), workingTimeOf(depot));
  if (closed === 'closed') return message('visit-day-depot-closed', { day, depot: depot.name });
  if (closed !== null) return message('visit-day-not-worked', { day, weekday: closed, depot: depot.name });
  const early = lines.find(({ windowOpensOn }) => windowOpensOn > day);
  if (!early) return null;
  return message('visit-day-before-window', { day, work: workTerm(early), opens: early.windowOpensOn });
}
