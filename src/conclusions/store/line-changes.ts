import type { StoredLine } from '../../domain/conclusions/stored-line.js';
import { sameLine } from '../load/due-line-columns.js';
import type { VehicleConclusion } from './vehicle-conclusion.js';

/** The lines that are new, the lines that changed, and the ids of those that no longer apply. */
export interface LineChanges {
  added: StoredLine[];
  changed: StoredLine[];
  closed: string[];
}

/** Finds which of a vehicle's lines are new, have changed, or are open but no longer apply. */
export function lineChangesOf({ history, lines }: Pick<VehicleConclusion, 'history' | 'lines'>): LineChanges {
  const stored = new Map(history.lines.map((line) => [line.id, line]));
  const changes: LineChanges = { added: [], changed: [], closed: [] };
  for (const line of lines) {
    const before = stored.get(line.id);
    stored.delete(line.id);
    if (before === undefined) changes.added.push(line);
    else if (!sameLine(before, line)) changes.changed.push(line);
  }
  for (const { id, isOpen, origin } of stored.values()) {
    // Follow-ups stay open when the readings were not loaded.
    if (isOpen && !(origin === 'follow-up' && history.readings === null)) changes.closed.push(id);
  }
  return changes;
}
