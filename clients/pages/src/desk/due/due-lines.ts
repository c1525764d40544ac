import { type ReadonlySignal, type Signal, useSignal } from '@preact/signals';
import { useRef } from 'preact/hooks';
import type { WeepholeClient } from '../../../../typescript/src/client.js';
import type { DueLine } from '../../kit/due/due-line.js';
import { type Hearing, type News, useGathered, useLive } from '../../kit/service/live.js';
import { type Loaded, useLoaded } from '../../kit/service/loaded.js';
import { service } from '../../kit/service/session.js';
import { type Filters, isAskedFor, queryOf } from './filters.js';

const PAGE = 100;
const GATHER_MS = 1000;

export interface DueLines {
  asOf: string;
  items: readonly DueLine[];
  /** Cursor of what follows; null at the end. */
  next: string | null;
}

export interface DueList {
  state: Signal<Loaded<DueLines>>;
  hearing: ReadonlySignal<Hearing>;
  /** The lines that changed since the view was opened. */
  changed: ReadonlySignal<ReadonlySet<string>>;
  /** How often the list was heard to change, for what is loaded beside it. */
  turn: ReadonlySignal<number>;
  reload: () => void;
  /** Loads the lines that follow. */
  more: () => Promise<void>;
}

/** Loads pages from a cursor on, until there are at least `wanted` lines or no more. */
async function pages(
  client: WeepholeClient,
  filters: Filters,
  { wanted, from, signal }: { wanted: () => number; from: string | null; signal?: AbortSignal },
): Promise<DueLines> {
  const items: DueLine[] = [];
  let cursor = from;
  for (;;) {
    const query = { ...queryOf(filters), limit: String(PAGE), ...(cursor !== null && { cursor }) };
    const { data } = await client.get('/v1/due-list', { query, signal });
    items.push(...data.items);
    cursor = data.next;
    if (cursor === null || items.length >= wanted()) return { asOf: data.asOf, items, next: cursor };
  }
}

/** The due list, page by page, which follows what happens. */
export function useDueList(filters: Filters): DueList {
  const key = JSON.stringify(queryOf(filters));
  const wanted = useRef({ key, count: PAGE });
  if (wanted.current.key !== key) wanted.current = { key, count: PAGE };
  const changed = useSignal<ReadonlySet<string>>(new Set());
  const turn = useSignal(0);
  const { state, reload } = useLoaded(
    // More may be shown by the time that the first page is there.
    (client, signal) => pages(client, filters, { wanted: () => wanted.current.count, from: null, signal }),
    [key],
  );
  const reloadSoon = useGathered(() => {
    turn.value++;
    reload();
  }, GATHER_MS);
  const hearing = useLive((news) => {
    take(news, filters, state, changed);
    if (news.what !== 'loss-alert') reloadSoon();
  });
  const more = async (): Promise<void> => {
    const shown = state.peek().value;
    if (shown === null || shown.next === null) return;
    try {
      const following = await pages(service(), filters, { wanted: () => PAGE, from: shown.next });
      const now = state.peek().value;
      // Loaded anew meanwhile, or asked twice.
      if (now?.next !== shown.next || wanted.current.key !== key) return;
      state.value = { is: 'there', value: { ...following, items: [...now.items, ...following.items] } };
      wanted.current.count = state.value.value.items.length;
    } catch (problem) {
      state.value = { is: 'failed', value: state.peek().value, problem };
    }
  };
  return { state, hearing, changed, turn, reload, more };
}

/** Shows the changed line at once, in its old place, until the list has been loaded anew. */
function take(
  news: News,
  filters: Filters,
  state: Signal<Loaded<DueLines>>,
  changed: Signal<ReadonlySet<string>>,
): void {
  const shown = state.peek();
  if (news.what !== 'due-line' || shown.value === null) return;
  const { line, isOpen } = news;
  const { items } = shown.value;
  const before = items.find(({ id }) => id === line.id);
  const isWanted = isOpen && isAskedFor(line, filters);
  // It may be told again what is known already.
  if (before === undefined ? !isWanted : isWanted && JSON.stringify(before) === JSON.stringify(line)) return;
  changed.value = new Set([...changed.peek(), line.id]);
  const others = isWanted
    ? items.map((one) => (one.id === line.id ? line : one))
    : items.filter(({ id }) => id !== line.id);
  state.value = { ...shown, value: { ...shown.value, items: others } };
}
