import { useSignal } from '@preact/signals';
import { useSearchParams } from 'wouter-preact';
import type { DueLine } from '../../kit/due/due-line.js';
import { LiveNote } from '../../kit/parts/live-note.js';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { tell } from '../../kit/texts/tell.js';
import { type DueLines, type DueList, useDueList } from './due-lines.js';
import { DueTable, grouped } from './due-table.js';
import { FilterForm, type Summary } from './filter-form.js';
import { addressOf, type Filters, filtersOf } from './filters.js';
import { named, type NamedLine } from './many-lines.js';
import { message } from './messages.js';
import { PutOff } from './put-off.js';
import { SavedFilters } from './saved-filters.js';
import { type Selection, useSelection } from './selection.js';
import { TakeBack } from './take-back.js';

const MOST_DEPOTS = 200;

/** How many lines are in which state, by the other filters. */
function countsOf({ states, components }: Summary, { component }: Filters) {
  if (component === '') return states;
  const none = { late: 0, due: 0, window: 0, 'not-due': 0, 'no-baseline': 0 };
  return components.find((one) => one.component === component)?.states ?? none;
}

function useDepots() {
  const { state } = useLoaded(
    async (client, signal) =>
      (await client.get('/v1/depots', { query: { limit: String(MOST_DEPOTS) }, signal })).data.items,
    [],
  );
  return state.value.value ?? [];
}

function useCounts(filters: Filters, turn: number) {
  const { depot, q } = filters;
  const query = { ...(depot !== '' && { depotId: depot }), ...(q !== '' && { q }) };
  const { state } = useLoaded(
    async (client, signal) => (await client.get('/v1/due-list/summary', { query, signal })).data,
    [depot, q, turn],
  );
  return state.value.value === null ? null : countsOf(state.value.value, filters);
}

type Depots = ReturnType<typeof useDepots>;

/** What can be done with the selected rows. Those that were put off can be taken back. */
function Chosen({
  chosen,
  selection,
  reload,
}: {
  chosen: readonly DueLine[];
  selection: Selection;
  reload: () => void;
}) {
  const asking = useSignal<{ what: 'put-off' | 'take-back'; lines: readonly NamedLine[] } | null>(null);
  const count = chosen.length;
  const putOff = chosen.filter(({ postponedUntil }) => postponedUntil !== null).map(named);
  const close = (done: readonly string[]): void => {
    asking.value = null;
    for (const id of done) selection.touch(id, false, false);
    if (done.length > 0) reload();
  };
  return (
    <>
      <div
        class={count === 0 ? 'unseen' : 'bulk'}
        role="group"
        aria-label={tell(message('desk-due-selected-lines'))}
      >
        <p role="status">{tell(message('desk-due-selected', { count }))}</p>
        {count > 0 && (
          <button
            type="button"
            onClick={() => (asking.value = { what: 'put-off', lines: chosen.map(named) })}
          >
            {tell(message('desk-due-put-off-selected'))}
          </button>
        )}
        {putOff.length > 0 && (
          <button type="button" onClick={() => (asking.value = { what: 'take-back', lines: putOff })}>
            {tell(message('desk-due-take-back-selected', { count: putOff.length }))}
          </button>
        )}
      </div>
      {asking.value?.what === 'put-off' && <PutOff lines={asking.value.lines} onClose={close} />}
      {asking.value?.what === 'take-back' && <TakeBack lines={asking.value.lines} onClose={close} />}
    </>
  );
}

/** Whether more lines follow, and the way to them. */
function Following({ shown: { items, next }, onMore }: { shown: DueLines; onMore: () => void }) {
  const all = next === null ? 'yes' : 'no';
  return (
    <>
      <p class="more">
        {tell(message('desk-due-shown', { count: items.length, all }))}{' '}
        {next !== null && (
          <button type="button" onClick={onMore}>
            {tell(message('desk-due-more'))}
          </button>
        )}
      </p>
      <p class="faint keys">{tell(message('desk-due-keys'))}</p>
    </>
  );
}

/** The table, what can be done with the selected rows, and the way to more. */
function Lines({
  shown,
  list,
  filters,
  depots,
}: {
  shown: DueLines;
  list: DueList;
  filters: Filters;
  depots: Depots;
}) {
  const groups = grouped(shown.items, filters.group, new Map(depots.map(({ id, name }) => [id, name])));
  const selection = useSelection(groups.flatMap(({ lines }) => lines.map(({ id }) => id)));
  const chosen = shown.items.filter(({ id }) => selection.selected.value.has(id));
  if (shown.items.length === 0) return <p>{tell(message('desk-due-none'))}</p>;
  return (
    <>
      <Chosen {...{ chosen, selection }} reload={list.reload} />
      <DueTable {...{ shown, groups, selection }} changed={list.changed.value} />
      <Following shown={shown} onMore={() => void list.more()} />
    </>
  );
}

/** The due list as a dense table, the worst first. */
export function Due() {
  const [asked, ask] = useSearchParams();
  const filters = filtersOf(asked);
  const list = useDueList(filters);
  const depots = useDepots();
  const counts = useCounts(filters, list.turn.value);
  return (
    <div class="due-view">
      <div class="title">
        <Heading>{tell(message('desk-due'))}</Heading>
        <LiveNote hearing={list.hearing} />
        <SavedFilters asked={addressOf(filters).toString()} />
      </div>
      <FilterForm
        {...{ filters, counts, depots }}
        onChange={(changed) => ask(addressOf(changed), { replace: true })}
      />
      <Shown state={list.state} again={list.reload}>
        {(shown) => <Lines {...{ shown, list, filters, depots }} />}
      </Shown>
    </div>
  );
}
