import { dueListListener } from './due-list-news.js';
import { type DueListPage, dueListPage } from './due-list-page.js';
import { requestDueList } from './due-list-request.js';
import { type DueListState, emptyDueList } from './due-list-state.js';
import { tell } from '../language.js';
import type { DueFilters } from '../route.js';
import { LOOK_AGAIN_MS } from './troubles.js';
import { gathered, type Surroundings, type View } from '../view.js';

/**
 * After news the list is asked for again no more often than this: what stands on it changes at
 * once.
 */
const AGAIN_MS = 2000;

/** The due list by depot, filtered by what the address says, and kept up to date by the stream. */
export function dueListView(first: DueFilters, surroundings: Surroundings): View {
  const state = emptyDueList(first);
  const page = dueListPage(surroundings);
  page.form.show(first);
  const load = dueListLoader(state, page, surroundings);
  const reload = gathered(() => void load(true), surroundings.signal, AGAIN_MS);
  lookForTroubles(state, page, surroundings);
  void load(false);
  return {
    title: tell('heading-due-list'),
    element: page.element,
    hear: dueListListener(state, surroundings, { redraw: () => page.draw(state), reload }),
    turnTo(route) {
      if (route.view !== 'due') return false;
      const turnsPage = route.filters.cursor !== state.filters.cursor;
      state.filters = route.filters;
      state.changed.clear();
      page.form.show(route.filters);
      page.busy();
      if (turnsPage) page.heading.focus();
      void load(false);
      return true;
    },
  };
}

/**
 * Loads what the filters ask for and draws it; a new load cancels the one before. Loading again is
 * not announced.
 */
function dueListLoader(
  state: DueListState,
  page: DueListPage,
  surroundings: Surroundings,
): (isAgain: boolean) => Promise<void> {
  const { client, signal } = surroundings;
  let loading = new AbortController();
  return async function load(isAgain) {
    void page.released.load();
    loading.abort();
    loading = new AbortController();
    const until = AbortSignal.any([signal, loading.signal]);
    try {
      const loaded = await requestDueList(client, state.filters, until);
      Object.assign(state, loaded);
      page.form.offerDepots(loaded.summary);
      page.draw(state);
      if (!isAgain) surroundings.say(tell('board-lines-shown', { count: loaded.lines.length }));
    } catch (fault) {
      if (until.aborted || surroundings.endedBy(fault)) return;
      page.fail(fault, () => void load(false));
    }
  };
}

/** Asks from time to time what keeps reminders from being heard, until the view is left. */
function lookForTroubles(state: DueListState, { troubles }: DueListPage, surroundings: Surroundings): void {
  const { client, signal } = surroundings;
  const look = async (): Promise<void> => {
    // Who is shown none at all is no manager, and is spared the question.
    if (state.summary?.deliveryTroubles === undefined) return;
    try {
      const { data } = await client.get('/v1/due-list/summary', { signal });
      troubles.show(data.deliveryTroubles ?? []);
    } catch (fault) {
      // The stream says already that the service is away.
      if (!signal.aborted) surroundings.endedBy(fault);
    }
  };
  const looking = setInterval(() => void look(), LOOK_AGAIN_MS);
  signal.addEventListener('abort', () => clearInterval(looking), { once: true });
}
