import type { LossFact } from '../../../src/domain/loss/facts/types.js';
import { levelCheck, topUp } from './facts.js';

/** Seeded generator (mulberry32, public domain): the same histories on every run. */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/** A standard normal deviate (Box–Muller). */
export function normal(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

export interface LevelHistory {
  km: number;
  kmPerDay: number;
  checkEveryKm: number;
  noiseL: number;
  /** Loss without a leak and with one, in L per 1,000 km. */
  usualRate: number;
  leakRate: number;
  leakFromKm: number;
  /** Lost over the first kilometres after a fill, in L. */
  settlingL: number;
  /** Whether the top-ups are entered as unplanned: then they speak for themselves. */
  unplanned?: boolean;
}

/**
 * Cold level checks of one vehicle at nearly even distances from a random start. What is missing is
 * filled in, by what the reading says, once it shows half a litre: as a planned top-up unless said
 * otherwise, so that the CUSUM alone has to find the leak.
 */
export function levelHistory(history: LevelHistory, random: () => number): LossFact[] {
  const facts: LossFact[] = [];
  let missingL = 0;
  let lastKm = 0;
  const lost = (km: number) =>
    (history.usualRate * km) / 1000 +
    (history.leakRate * Math.max(0, km - history.leakFromKm)) / 1000 +
    history.settlingL * (1 - Math.exp(-km / 100));
  // Nobody checks to the kilometre: every distance is a tenth shorter or longer at most.
  const step = () => history.checkEveryKm * (0.9 + 0.2 * random());
  for (let km = history.checkEveryKm * random(); km <= history.km; km += step()) {
    missingL += lost(km) - lost(lastKm);
    lastKm = km;
    const read = missingL + history.noiseL * normal(random);
    const day = km / history.kmPerDay;
    facts.push(levelCheck(`l${facts.length}`, day, read, { km }));
    if (read > 0.5) {
      facts.push(
        topUp(`t${facts.length}`, day, read, { km, toMark: false, planned: history.unplanned !== true }),
      );
      missingL -= read;
    }
  }
  return facts;
}
