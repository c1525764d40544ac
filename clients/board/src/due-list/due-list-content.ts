import { type Content, el } from '../dom.js';
import type { DueListState } from './due-list-state.js';
import { dueRow, ruledRows } from '../due-lines/due-rows.js';
import { type DueFilters, hashOf } from '../route.js';
import { axisAround, type TimeAxis } from '../due-lines/time-axis.js';
import type { DueLine, DueListSummary } from '../types.js';
import { DUE_STATES } from '../due-lines/due-states.js';
import { countsInWords, isToDoAtOnce } from '../due-lines/due-words.js';
import { currentLocale, tell } from '../language.js';
import { dayInWords } from '../words.js';

type RowOf = (line: DueLine) => HTMLElement;

interface DepotGroup {
  depotId: string | null;
  name: string;
  states: DueListSummary['states'] | null;
  lines: DueLine[];
}

/** The due lines: those to do at once first, then depot by depot, then the pager. */
export function dueListContent({ asOf, lines, next, filters, summary, changed }: DueListState): Content[] {
  const axis = axisAround(asOf);
  const rowOf: RowOf = (line) => dueRow(line, axis, { changed: changed.has(line.id) });
  const atOnce = lines.filter(isToDoAtOnce);
  const groups = groupsByDepot(
    lines.filter((line) => !isToDoAtOnce(line)),
    summary,
  );
  return [
    lines.length === 0 && el('p', {}, tell('board-nothing-matches')),
    atOnce.length > 0 && atOnceSection(atOnce.map(rowOf), axis),
    ...groups.map((group, index) => depotSection(group, index, filters, group.lines.map(rowOf), axis)),
    pager(filters, next),
  ];
}

function atOnceSection(rows: HTMLElement[], axis: TimeAxis): HTMLElement {
  return el(
    'section',
    { 'aria-labelledby': 'at-once' },
    el('h2', { id: 'at-once' }, tell('heading-at-once')),
    el('p', { class: 'when' }, tell('board-at-once-why')),
    ...ruledRows(rows, axis),
  );
}

function depotSection(
  { name, states }: DepotGroup,
  index: number,
  filters: DueFilters,
  rows: HTMLElement[],
  axis: TimeAxis,
): HTMLElement {
  return el(
    'section',
    { 'aria-labelledby': `depot-${index}` },
    el('h2', { id: `depot-${index}` }, name),
    states === null
      ? null
      : el('p', { class: 'when' }, tell('board-in-all', { counts: countsInWords(states, filters.states) })),
    ...ruledRows(rows, axis),
  );
}

/** Depots by name; what is at no depot comes last. */
function groupsByDepot(lines: readonly DueLine[], summary: DueListSummary | null): DepotGroup[] {
  const counted = new Map(summary?.depots.map((depot) => [depot.depotId, depot]));
  return [...groupedBy(lines, ({ vehicle }) => vehicle.depotId)]
    .map(([depotId, ofDepot]) => {
      const { name = null, states = null } = counted.get(depotId) ?? {};
      return {
        ...{ depotId, states, lines: ofDepot },
        name: name ?? (depotId === null ? tell('board-at-no-depot') : tell('board-unnamed-depot')),
      };
    })
    .sort((a, b) =>
      a.depotId === null ? 1 : b.depotId === null ? -1 : a.name.localeCompare(b.name, currentLocale()),
    );
}

/** How many lines are in which state, over all depots or at the one that was asked for. */
export function countsText({ summary, asOf, filters }: DueListState): string {
  if (summary === null) return '';
  const on = dayInWords(asOf);
  const depot = summary.depots.find((one) => one.depotId === filters.depotId);
  if (depot !== undefined)
    return tell('board-counts-at', {
      on,
      depot: depot.name ?? tell('board-unnamed-depot'),
      counts: countsInWords(depot.states, DUE_STATES),
    });
  const { states, done } = summary;
  const counts = tell('board-counts', { on, counts: countsInWords(states, DUE_STATES) });
  return `${counts} ${tell('board-done', { onTime: done.onTime, late: done.late })}`;
}

function pager(filters: DueFilters, next: string | null): HTMLElement | false {
  if (next === null && filters.cursor === '') return false;
  const link = (text: string, cursor: string, key: string): HTMLElement =>
    el('a', { href: hashOf({ view: 'due', filters: { ...filters, cursor } }), 'data-key': key }, text);
  return el(
    'nav',
    { class: 'pager', 'aria-label': tell('board-pages-of-due-list') },
    filters.cursor !== '' && link(tell('board-first-page'), '', 'first page'),
    next !== null && link(tell('board-next-page'), next, 'next page'),
  );
}

function groupedBy<T, K>(items: readonly T[], keyOf: (item: T) => K): Map<K, T[]> {
  const groups = new Map<K, T[]>();
  for (const item of items) groups.set(keyOf(item), [...(groups.get(keyOf(item)) ?? []), item]);
  return groups;
}
