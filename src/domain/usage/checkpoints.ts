import { MS_PER_DAY } from '../calendar/zone.js';
import type { Checkpoint, Timeline } from './types.js';

/**
 * Ages in days between which one checkpoint each is kept: late readings are rarer the later they
 * are.
 */
const AGES = [1, 3, 7, 30, 100, 400];

/**
 * The stored checkpoints are replaced only once the readings have gone on for this many days since.
 * They seldom change that way, and a late reading is judged from a little further back. Common
 * practice.
 */
export const STORE_AFTER_DAYS = 7;

/**
 * Where to take a scan up again after readings were added, decided on or voided: the latest
 * checkpoint strictly before the earliest of them. Load the readings later than its `at`; null:
 * load them all.
 *
 * @param earliestChangedAt epoch milliseconds.
 */
export function restartFrom(
  checkpoints: readonly Checkpoint[],
  earliestChangedAt: number,
): Checkpoint | null {
  let latest: Checkpoint | null = null;
  for (const checkpoint of checkpoints) {
    if (checkpoint.at < earliestChangedAt && (latest === null || checkpoint.at > latest.at))
      latest = checkpoint;
  }
  return latest;
}

/**
 * The checkpoints to keep after a scan: of those stored, the ones up to its start (what came
 * before it has not changed); all new ones; thinned to the
 * newest and, for each span of age, the oldest in it. At most 8.
 */
export function mergeCheckpoints(
  stored: readonly Checkpoint[],
  start: Checkpoint | null,
  timeline: Pick<Timeline, 'checkpoints'>,
): Checkpoint[] {
  const held = stored.filter((checkpoint) => start !== null && checkpoint.at <= start.at);
  const all = [...held, ...timeline.checkpoints].sort((left, right) => left.at - right.at);
  const newest = all.at(-1);
  if (!newest) return [];
  const kept = new Map<number, Checkpoint>();
  for (const checkpoint of all) {
    const days = (newest.at - checkpoint.at) / MS_PER_DAY;
    const span = AGES.findIndex((age) => days <= age);
    // Oldest first, so the first of each span stays; beyond the last age the youngest is enough.
    if (span === -1 || !kept.has(span)) kept.set(span, checkpoint);
  }
  const thinned = [...kept.values()].filter((checkpoint) => checkpoint !== newest);
  return [...thinned, newest];
}
