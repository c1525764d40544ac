import type { WeepholeClient } from '../../../typescript/src/client.js';
import type { DueListState } from './due-list-state.js';
import type { DueFilters } from '../route.js';
import type { DueLine, DueListSummary, DueState } from '../types.js';

/** Asks for one page of the due list, and for the counts of all depots beside it. */
export async function requestDueList(
  client: WeepholeClient,
  { depotId, states, component, q, cursor }: DueFilters,
  signal: AbortSignal,
): Promise<Pick<DueListState, 'asOf' | 'lines' | 'next'> & { summary: DueListSummary }> {
  const ofComponent = component === '' ? {} : { component: component as DueLine['component'] };
  const ofSearch = q === '' ? {} : { q };
  const [page, counted] = await Promise.all([
    client.get('/v1/due-list', {
      query: {
        ...{ state: states.join() as DueState, ...ofComponent, ...ofSearch },
        ...(depotId === '' ? {} : { depotId }),
        ...(cursor === '' ? {} : { cursor }),
      },
      signal,
    }),
    client.get('/v1/due-list/summary', { query: { ...ofComponent, ...ofSearch }, signal }),
  ]);
  const { asOf, items: lines, next } = page.data;
  return { asOf, lines, next, summary: counted.data };
}
