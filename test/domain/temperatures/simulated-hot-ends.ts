import { civilDateOf } from '../../../src/domain/calendar/civil-date.js';
import type { HotEnd } from '../../../src/domain/temperatures/creep.js';
import { normal } from '../loss/simulation.js';

/** A world in which vehicles run; temperatures in K. */
export interface HotEndWorld {
  /** Standard deviation of a change of load or route, one a year, and of a new sensor's offset. */
  changeK: number;
  sensorK: number;
  /** Standard deviation of a summer's heat from year to year. */
  summerK: number;
  /** Rise in a month of 30.4 days from a day on, 20 K at most. */
  creep?: { kPerMonth: number; fromDay: number };
  /** The rise shows in full on the hottest days only, and not at all in the cold. */
  isMasked?: boolean;
}

/** The world that the limits were chosen in, and one with all changes twice as large. */
export const USUAL_WORLD: HotEndWorld = { changeK: 1.5, sensorK: 1.5, summerK: 0.8 };
export const CHANGEFUL_WORLD: HotEndWorld = { changeK: 3, sensorK: 3, summerK: 1.6 };

const CHANGES_A_YEAR = 1;
const SENSORS_A_YEAR = 0.15;
/** Some Monday. */
export const FIRST_DAY = 19_723;

/**
 * The hot ends of one vehicle on five days of seven, read to 1 °C (SAE J1939-71, SPN 110): a base,
 * the season, the weather of neighbouring days, noise, changes of load, and new sensors.
 */
export function hotEnds(world: HotEndWorld, days: number, random: () => number): HotEnd[] {
  const base = 90 + 2 * normal(random);
  const season = 1 + 2 * random();
  const phase = 365 * random();
  const summers = Array.from({ length: Math.ceil(days / 365) + 2 }, () => world.summerK * normal(random));
  const found: HotEnd[] = [];
  let weather = 0;
  let shift = 0;
  for (let day = 0; day < days; day++) {
    weather = 0.8 * weather + 0.6 * normal(random);
    if (random() < CHANGES_A_YEAR / 365) shift += world.changeK * normal(random);
    if (random() < SENSORS_A_YEAR / 365) shift += world.sensorK * normal(random);
    if (day % 7 > 4) continue;
    const heat = Math.cos((2 * Math.PI * (day + phase)) / 365);
    const summer = (summers[Math.floor((day + phase) / 365)] ?? 0) * Math.max(0, heat);
    const { kPerMonth = 0, fromDay = Infinity } = world.creep ?? {};
    const risen = day > fromDay ? Math.min((kPerMonth * (day - fromDay)) / 30.4, 20) : 0;
    const shown = world.isMasked === true ? (0.5 + 0.5 * heat) * risen : risen;
    const hotC = Math.round(base + season * heat + summer + weather + 1.2 * normal(random) + shift + shown);
    found.push({ day: civilDateOf(FIRST_DAY + day), hotC });
  }
  return found;
}
