import { readFileSync } from 'node:fs';
import type { Life } from '../../../src/domain/reliability/lives.js';

/**
 * Distance to failure of 38 shock absorbers in km, 11 of them failed: Meeker & Escobar (1998),
 * table C.2, after O'Connor.
 */
export function shockAbsorbers(): Life[] {
  const text = readFileSync(new URL('../../reference/shock-absorber.csv', import.meta.url), 'utf8');
  return text
    .trim()
    .split('\n')
    .slice(1)
    .map((row) => {
      const [age, status] = row.split(',');
      return { age: Number(age), entry: 0, failed: status === '1', count: 1 };
    });
}

/** Lives that were watched from new: those given as failures, and those still good. */
export function livesOf(failed: readonly number[], held: readonly number[] = []): Life[] {
  const life = (age: number, hasFailed: boolean): Life => ({ age, entry: 0, failed: hasFailed, count: 1 });
  return [...failed.map((age) => life(age, true)), ...held.map((age) => life(age, false))];
}
