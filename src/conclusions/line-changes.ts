import type { LineChanges } from './conclusions.writes.js';
import { sameLine } from './due-line-columns.js';
import type { StoredLine, VehicleHistory } from './history.js';

/** Which of a vehicle's lines are new, say something else than the stored one, or stand open and no longer apply. */
export function lineChangesOf({
  history,
  lines,
}: {
  history: VehicleHistory;
  lines: readonly StoredLine[];
}): LineChanges {
  const stored = new Map(history.lines.map((line) => [line.id, line]));
  const changes: LineChanges = { added: [], changed: [], closed: [] };
  for (const line of lines) {
    const before = stored.get(line.id);
    stored.delete(line.id);
    if (before === undefined) changes.added.push(line);
    else if (!sameLine(before, line)) changes.changed.push(line);
  }
  for (const { id, isOpen, origin } of stored.values()) {
    // Follow-ups are left alone where measurements were not loaded.
    if (isOpen && !(origin === 'follow-up' && history.readings === null)) changes.closed.push(id);
  }
  return changes;
}
