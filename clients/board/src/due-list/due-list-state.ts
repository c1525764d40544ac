import type { DueFilters } from '../route.js';
import type { DueLine, DueListSummary } from '../types.js';

/** What the due list shows now. */
export interface DueListState {
  filters: DueFilters;
  asOf: string;
  lines: DueLine[];
  /** Cursor of the next page; null on the last one. */
  next: string | null;
  /** Null until the list is loaded. */
  summary: DueListSummary | null;
  /** Ids of the lines that the event stream changed under these filters. */
  changed: Set<string>;
}

export const emptyDueList = (filters: DueFilters): DueListState => ({
  ...{ filters, asOf: '', lines: [], next: null },
  ...{ summary: null, changed: new Set<string>() },
});
