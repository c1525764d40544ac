/** Seeded uniform random numbers (mulberry32): the same simulation on every run. */
export function seeded(seed: number): () => number {
  let state = seed | 0;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}

export interface UsageModel {
  /** Coefficient of variation of the log-normal distance of a working day. */
  variation: number;
  /** Days between readings. */
  everyDays: number;
  /** Share of readings that are missing. */
  missing: number;
  /** The rate was multiplied by this so many days before the last day. */
  change?: { factor: number; daysAgo: number };
  /** Days of history. */
  history: number;
}

const WORKING_DAY_KM = 100;
export const AHEAD_DAYS = 60;

/** Usage of one vehicle, day by day from −history to +440: five working days of seven, log-normal distances. */
export function simulate(model: UsageModel, random: () => number) {
  const sigma = Math.sqrt(Math.log(1 + model.variation ** 2));
  const phase = Math.floor(random() * 7);
  const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const kmAt = new Map<number, number>();
  let km = 20_000;
  for (let day = -model.history; day <= 440; day++) {
    const isChanged = model.change !== undefined && day > -model.change.daysAgo;
    const isWorking = (((day + phase) % 7) + 7) % 7 < 5;
    const run = isWorking ? WORKING_DAY_KM * Math.exp(sigma * normal() - sigma ** 2 / 2) : 0;
    km += run * (isChanged ? model.change!.factor : 1);
    kmAt.set(day, km);
  }
  const readingPhase = Math.floor(random() * model.everyDays);
  const days = [...kmAt.keys()].filter(
    (day) =>
      day <= 0 &&
      (((day + readingPhase) % model.everyDays) + model.everyDays) % model.everyDays === 0 &&
      random() >= model.missing,
  );
  const last = days.at(-1)!;
  const trueRate = ((WORKING_DAY_KM * 5) / 7) * (model.change?.factor ?? 1);
  const limit = kmAt.get(last)! + AHEAD_DAYS * trueRate;
  let reached = last;
  while (kmAt.get(reached)! < limit) reached++;
  return {
    readings: days.map((day) => ({ day, km: kmAt.get(day)! })),
    last,
    limit,
    reachedAfter: reached - last,
  };
}
