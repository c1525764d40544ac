import { el, replaceKeeping } from './dom.js';
import { filterForm, isAskedFor } from './due-filters.js';
import { dueRow, ruledRows, stripLegend } from './due-rows.js';
import type { News } from './live.js';
import { releasedPart } from './released.js';
import { type DueFilters, hashOf } from './route.js';
import { axisAround } from './time-axis.js';
import { LOOK_AGAIN_MS, troublesPart } from './troubles.js';
import type { DueLine, DueListSummary, DueState } from './types.js';
import { faultNote, gathered, type Surroundings, type View, viewHeading } from './view.js';
import { countsInWords, dayInWords, DUE_STATES, isToDoAtOnce, plain, STATE_WORDS } from './words.js';

interface Shown {
  asOf: string;
  lines: DueLine[];
  next: string | null;
}

/** After news the list is asked for again no more often than this: what stands on it changes at once. */
const AGAIN_MS = 2000;
const SAY_MS = 700;

/** The due list by depot, filtered by what the address says, and kept up to date by the stream. */
export function dueListView(first: DueFilters, surroundings: Surroundings): View {
  const { client, signal } = surroundings;
  let filters = first;
  let shown: Shown = { asOf: '', lines: [], next: null };
  let summary: DueListSummary | null = null;
  let loading = new AbortController();
  const changed = new Set<string>();
  const heard: string[] = [];
  const heading = viewHeading('Due list');
  const troubles = troublesPart();
  const released = releasedPart(surroundings);
  const counts = el('p', { id: 'counts' });
  const list = el('div', { id: 'due-lines', 'aria-busy': 'true' });
  const form = filterForm((next) => {
    // One entry of the history for a series of filters: going back leaves the list.
    location.replace(hashOf({ view: 'due', filters: next }));
  });
  form.show(filters);

  function render(): void {
    const { asOf, lines, next } = shown;
    const axis = axisAround(asOf);
    const counted = new Map(summary?.depots.map((depot) => [depot.depotId, depot]));
    const atOnce = lines.filter(isToDoAtOnce);
    const byDepot = groupedBy(
      lines.filter((line) => !isToDoAtOnce(line)),
      ({ vehicle }) => vehicle.depotId,
    );
    const rowOf = (line: DueLine): HTMLElement => dueRow(line, axis, { changed: changed.has(line.id) });
    const depots = [...byDepot]
      .map(([depotId, ofDepot]) => {
        const { name = null, states = null } = counted.get(depotId) ?? {};
        return { name: name ?? (depotId === null ? 'At no depot' : 'A depot'), depotId, states, ofDepot };
      })
      .sort((a, b) => (a.depotId === null ? 1 : b.depotId === null ? -1 : a.name.localeCompare(b.name)));
    troubles.show(summary?.deliveryTroubles ?? []);
    counts.textContent = standingInWords(summary, asOf, filters.depotId);
    replaceKeeping(
      list,
      [
        lines.length === 0 &&
          el('p', {}, 'No due line is as asked for. Other states or components may have some.'),
        atOnce.length > 0 &&
          el(
            'section',
            { 'aria-labelledby': 'at-once' },
            el('h2', { id: 'at-once' }, 'At once'),
            el('p', { class: 'when' }, 'A reading found something unsafe. See to these first.'),
            ...ruledRows(atOnce.map(rowOf), axis),
          ),
        ...depots.map(({ name, states, ofDepot }, index) =>
          el(
            'section',
            { 'aria-labelledby': `depot-${index}` },
            el('h2', { id: `depot-${index}` }, name),
            states === null
              ? null
              : el('p', { class: 'when' }, `In all: ${countsInWords(states, filters.states)}`),
            ...ruledRows(ofDepot.map(rowOf), axis),
          ),
        ),
        pager(filters, next),
      ],
      heading,
    );
    list.setAttribute('aria-busy', 'false');
  }

  async function load(isAgain: boolean): Promise<void> {
    void released.load();
    loading.abort();
    loading = new AbortController();
    const until = AbortSignal.any([signal, loading.signal]);
    const { depotId, component, q, cursor } = filters;
    const ofComponent = component === '' ? {} : { component: component as DueLine['component'] };
    const ofSearch = q === '' ? {} : { q };
    try {
      const [page, counted] = await Promise.all([
        client.get('/v1/due-list', {
          query: {
            ...{ state: filters.states.join() as DueState, ...ofComponent, ...ofSearch },
            ...(depotId === '' ? {} : { depotId }),
            ...(cursor === '' ? {} : { cursor }),
          },
          signal: until,
        }),
        client.get('/v1/due-list/summary', { query: { ...ofComponent, ...ofSearch }, signal: until }),
      ]);
      shown = { asOf: page.data.asOf, lines: page.data.items, next: page.data.next };
      summary = counted.data;
      form.offerDepots(summary);
      render();
      if (!isAgain) surroundings.say(`${shown.lines.length} due lines shown`);
    } catch (fault) {
      if (until.aborted || surroundings.endedBy(fault)) return;
      list.replaceChildren(faultNote(fault, () => void load(false)));
      list.setAttribute('aria-busy', 'false');
    }
  }

  const loadAgain = gathered(() => void load(true), signal, AGAIN_MS);
  const sayHeard = gathered(
    () => {
      const texts = heard.splice(0);
      surroundings.say(texts.length > 3 ? `${texts.length} due lines changed` : texts.join('. '));
    },
    signal,
    SAY_MS,
  );

  function hear(news: News): void {
    if (news.what === 'all') return loadAgain();
    if (news.what !== 'due-line') return;
    const { line, isOpen } = news;
    const place = shown.lines.findIndex(({ id }) => id === line.id);
    const isWanted = isOpen && isAskedFor(line, filters);
    if (place < 0 && !isWanted) return loadAgain();
    const before = shown.lines[place];
    // It may be told again what is known already.
    if (before !== undefined && isWanted && JSON.stringify(before) === JSON.stringify(line)) return;
    const work = `${line.vehicle.unitNumber}, ${plain(line.component)} ${line.action}`;
    heard.push(isOpen ? `${work}: ${STATE_WORDS[line.state]}` : `${work}: no longer applies`);
    changed.add(line.id);
    if (place >= 0) {
      shown.lines.splice(place, 1, ...(isWanted ? [line] : []));
      render();
    }
    sayHeard();
    loadAgain();
  }

  async function lookForTroubles(): Promise<void> {
    // Who is shown none at all is no manager, and is spared the question.
    if (summary?.deliveryTroubles === undefined) return;
    try {
      const { data } = await client.get('/v1/due-list/summary', { signal });
      troubles.show(data.deliveryTroubles ?? []);
    } catch (fault) {
      // The stream says already that the service is away.
      if (!signal.aborted) surroundings.endedBy(fault);
    }
  }

  const looking = setInterval(() => void lookForTroubles(), LOOK_AGAIN_MS);
  signal.addEventListener('abort', () => clearInterval(looking), { once: true });
  void load(false);
  return {
    title: 'Due list',
    element: el(
      'div',
      {},
      heading,
      released.element,
      troubles.element,
      counts,
      form.element,
      stripLegend(),
      list,
    ),
    hear,
    turnTo(route) {
      if (route.view !== 'due') return false;
      const turnsPage = route.filters.cursor !== filters.cursor;
      filters = route.filters;
      changed.clear();
      form.show(filters);
      list.setAttribute('aria-busy', 'true');
      if (turnsPage) heading.focus();
      void load(false);
      return true;
    },
  };
}

/** How many lines stand where, over all depots or at the one that was asked for. */
function standingInWords(summary: DueListSummary | null, asOf: string, depotId: string): string {
  if (summary === null) return '';
  const depot = summary.depots.find((one) => one.depotId === depotId);
  if (depot !== undefined)
    return `As of ${dayInWords(asOf)} at ${depot.name ?? 'the depot'}: ${countsInWords(depot.states, DUE_STATES)}.`;
  const { states, done } = summary;
  return `As of ${dayInWords(asOf)}, over all depots: ${countsInWords(states, DUE_STATES)}. Done in the last 90 days: ${done.onTime} on time, ${done.late} late.`;
}

function pager(filters: DueFilters, next: string | null): HTMLElement | false {
  if (next === null && filters.cursor === '') return false;
  const link = (text: string, cursor: string, key: string): HTMLElement =>
    el('a', { href: hashOf({ view: 'due', filters: { ...filters, cursor } }), 'data-key': key }, text);
  return el(
    'nav',
    { class: 'pager', 'aria-label': 'Pages of the due list' },
    filters.cursor !== '' && link('First page', '', 'first page'),
    next !== null && link('Next page', next, 'next page'),
  );
}

function groupedBy<T, K>(items: readonly T[], keyOf: (item: T) => K): Map<K, T[]> {
  const groups = new Map<K, T[]>();
  for (const item of items) groups.set(keyOf(item), [...(groups.get(keyOf(item)) ?? []), item]);
  return groups;
}
