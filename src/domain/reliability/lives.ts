import { ImpossibleValue } from '../impossible-value.js';
import { message } from './messages.js';

/** One life of a part, or several alike, all in one unit of use (km, h, or any other). */
export interface Life {
  /**
   * Use at which it failed or, if it did not, up to which it is known to have held. More than 0.
   */
  age: number;
  /**
   * Use from which it was watched: a part fitted before records began is on record only because it
   * had held that long (left truncation, delayed entry). 0: from new.
   */
  entry: number;
  /** False: taken out while still good, or still running (right censoring). */
  failed: boolean;
  /** How many lives are alike. */
  count: number;
}

/**
 * If there are more different lives than this, those within a thousandth of each other are merged,
 * which changes no result.
 */
const MOST_DIFFERENT = 4000;
const GRID = 0.001;

/**
 * The lives with those alike counted together, in ascending order; of very many, lives within 0.1 %
 * of one another too, so that the work does not grow with the fleet.
 *
 * @throws ImpossibleValue on a life that is not more than 0, or that ended before it was watched.
 * @example groupLives([{ age: 5, entry: 0, failed: true, count: 1 }, { age: 5, entry: 0, failed: true, count: 1 }]) // [{ age: 5, entry: 0, failed: true, count: 2 }]
 */
export function groupLives(lives: readonly Life[]): Life[] {
  for (const { age, entry, count } of lives) {
    if (!(age > 0 && Number.isFinite(age))) {
      const detail = message('life-not-above-zero', { age });
      throw new ImpossibleValue({ field: 'age', value: age, limit: { above: 0 }, detail });
    }
    if (!(entry >= 0 && entry < age)) {
      const detail = message('life-watched-too-late', { entry, age });
      throw new ImpossibleValue({ field: 'entry', value: entry, limit: { min: 0, below: age }, detail });
    }
    if (!(count > 0)) {
      const detail = message('life-count-not-above-zero', { count });
      throw new ImpossibleValue({ field: 'count', value: count, limit: { above: 0 }, detail });
    }
  }
  const exact = merged(lives);
  return exact.length <= MOST_DIFFERENT ? exact : merged(exact.map(coarser));
}

/** How many of the lives ended in failure. */
export function failuresOf(lives: readonly Life[]): number {
  return lives.reduce((sum, { failed, count }) => sum + (failed ? count : 0), 0);
}

/** The longest that any part was watched. */
export function longestOf(lives: readonly Life[]): number {
  return lives.reduce((longest, { age }) => Math.max(longest, age), 0);
}

function merged(lives: readonly Life[]): Life[] {
  const byKey = new Map<string, Life>();
  for (const life of lives) {
    const key = `${life.age} ${life.entry} ${life.failed}`;
    const same = byKey.get(key);
    byKey.set(key, { ...life, count: life.count + (same?.count ?? 0) });
  }
  return [...byKey.values()].sort(
    (a, b) => a.age - b.age || Number(b.failed) - Number(a.failed) || a.entry - b.entry,
  );
}

function coarser({ age, entry, failed, count }: Life): Life {
  const onGrid = (use: number): number => Math.exp(Math.round(Math.log(use) / GRID) * GRID);
  // Watched for next to nothing: kept as it is, for on the grid it would have no length.
  if (entry > 0 && Math.log(age / entry) < 2 * GRID) return { age, entry, failed, count };
  return { age: onGrid(age), entry: entry === 0 ? 0 : onGrid(entry), failed, count };
}
