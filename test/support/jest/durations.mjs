import { readFileSync, writeFileSync } from 'node:fs';

const FILE = new URL('durations.json', import.meta.url);
const ROOT = new URL('../../../', import.meta.url).pathname;

/** Files that take less than this, in ms, are not stored: their order makes no difference. */
const KEPT_FROM = 10_000;

/**
 * Returns a file's name in the list. It includes the project, because queue tests run once in each
 * of two projects.
 */
export const nameOf = (path, project) => `${path.replace(ROOT, '')} (${project})`;

/** Returns the stored duration of each file, in ms. */
export function keptDurations() {
  return new Map(Object.entries(JSON.parse(readFileSync(FILE, 'utf8'))));
}

export function keepDurations(durations) {
  const kept = durations
    .filter(([, ms]) => ms >= KEPT_FROM)
    .map(([name, ms]) => [name, Math.round(ms / 1000) * 1000]);
  writeFileSync(FILE, `${JSON.stringify(Object.fromEntries(kept), null, 2)}\n`);
}
