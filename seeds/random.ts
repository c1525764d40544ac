/**
 * A source of numbers that look random but are the same for the same seed, so the same fleet is
 * made every time.
 */
export interface Random {
  /** From `low` up to but not including `high`. */
  between(low: number, high: number): number;
  /** A whole number from `low` to `high`, both included. */
  whole(low: number, high: number): number;
  /** True in `share` of all cases, 0 to 1. */
  chance(share: number): boolean;
  /** Normally distributed, at most three standard deviations from the mean. */
  around(mean: number, deviation: number): number;
  pick<T>(choices: readonly [T, ...T[]]): T;
  /** The same items in random order. */
  shuffled<T>(things: readonly T[]): T[];
}

/** Hashes a text to 32 bits (FNV-1a). */
function hashOf(text: string): number {
  let hash = 0x811c9dc5;
  for (let index = 0; index < text.length; index++)
    hash = Math.imul(hash ^ text.charCodeAt(index), 0x01000193);
  return hash >>> 0;
}

/**
 * Makes a source from a text. Each vehicle has its own, seeded with its unit number, so adding or
 * removing one vehicle changes nothing about the others.
 *
 * @example randomFrom('PU-101').whole(1, 6) // the same at every call of this line
 */
export function randomFrom(seed: string): Random {
  let state = hashOf(seed);
  // Mulberry32: a scrambled counter. Good enough for invented data, never for secrets.
  const next = (): number => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
  const between = (low: number, high: number) => low + next() * (high - low);
  const whole = (low: number, high: number) => Math.floor(between(low, high + 1));
  return {
    between,
    whole,
    chance: (share) => next() < share,
    around(mean, deviation) {
      // Box–Muller transform; 1 − next() is never 0.
      const normal = Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
      return mean + deviation * Math.max(-3, Math.min(3, normal));
    },
    pick: (choices) => choices[whole(0, choices.length - 1)] ?? choices[0],
    shuffled(things) {
      const order = [...things];
      for (let last = order.length - 1; last > 0; last--) {
        const other = whole(0, last);
        [order[last], order[other]] = [
          order[other] as (typeof order)[number],
          order[last] as (typeof order)[number],
        ];
      }
      return order;
    },
  };
}
