import type { Message } from '../message.js';
import { toldToTenth } from '../quantities/told.js';
import { message } from './messages.js';
import type { HotDayTold } from './settling.js';

/**
 * A day whose coolant temperatures show that the engine overheated. Instants are epoch
 * milliseconds.
 */
export interface HotDay extends HotDayTold {
  id: string;
  /** The first and the last value at or above the alarm that had neighbours there. */
  at: number;
  until: number;
}

/**
 * The hottest of some days, and how many others there were; nothing for none.
 *
 * @example hotDaysTold([{ day: '2026-04-02', highestC: 112, alarmC: 107 }]) // one message
 */
export function hotDaysTold(days: readonly HotDayTold[]): Message[] {
  const byDay = new Map(days.map((one) => [one.day, one]));
  const hottest = [...byDay.values()].sort((a, b) => b.highestC - a.highestC || (a.day < b.day ? 1 : -1))[0];
  if (hottest === undefined) return [];
  const { day, highestC, alarmC } = hottest;
  return [
    message('follow-up-coolant-hot', {
      day,
      highest: toldToTenth('temperature', highestC),
      alarm: toldToTenth('temperature', alarmC),
      others: byDay.size - 1,
    }),
  ];
}
