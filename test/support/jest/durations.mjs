import { readFileSync, writeFileSync } from 'node:fs';

const FILE = new URL('durations.json', import.meta.url);
const ROOT = new URL('../../../', import.meta.url).pathname;

/** Files that take less than this, in ms, are not kept: their order makes no difference. */
const KEPT_FROM = 10_000;

/** How a file is named in the list: the queue's run once in each of two projects. */
export const nameOf = (path, project) => `${path.replace(ROOT, '')} (${project})`;

/** How long each file took, in ms, in the run whose durations are kept. */
export function keptDurations() {
  return new Map(Object.entries(JSON.parse(readFileSync(FILE, 'utf8'))));
}

export function keepDurations(durations) {
  const kept = durations
    .filter(([, ms]) => ms >= KEPT_FROM)
    .map(([name, ms]) => [name, Math.round(ms / 1000) * 1000]);
  writeFileSync(FILE, `${JSON.stringify(Object.fromEntries(kept), null, 2)}\n`);
}
