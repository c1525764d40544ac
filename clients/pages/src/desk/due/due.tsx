import { useSearchParams } from 'wouter-preact';
import { StripLegend } from '../../kit/due/legend.js';
import { LiveNote } from '../../kit/parts/live-note.js';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useDepots } from '../../kit/service/depots.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { mayManage } from '../../kit/service/me.js';
import { tell } from '../../kit/texts/tell.js';
import { Chosen } from './chosen.js';
import { type DueLines, type DueList, useDueList } from './due-lines.js';
import { DueTable } from './due-table.js';
import { grouped } from './grouped.js';
import { FilterForm, type Summary } from './filter-form.js';
import { addressOf, type Filters, filtersOf } from './filters.js';
import { message } from './messages.js';
import { SavedFilters } from './saved-filters.js';
import { useSelection } from './selection.js';
import { usePeople } from './people.js';

/** How many lines are in which state, by the other filters. */
function countsOf({ states, components }: Summary, { component }: Filters) {
  if (component === '') return states;
  const none = { late: 0, due: 0, window: 0, 'not-due': 0, 'no-baseline': 0 };
  return components.find((one) => one.component === component)?.states ?? none;
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
      {mayManage() && <p class="faint keys">{tell(message('desk-due-keys'))}</p>}
      <StripLegend />
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
  const people = usePeople(filters.group === 'visit');
  const groups = grouped(shown.items, filters.group, {
    depots: new Map(depots.map(({ id, name }) => [id, name])),
    people: new Map(people.map(({ id, name }) => [id, name])),
  });
  const selection = useSelection(groups.flatMap(({ lines }) => lines.map(({ id }) => id)));
  const chosen = shown.items.filter(({ id }) => selection.selected.value.has(id));
  if (shown.items.length === 0) return <p>{tell(message('desk-due-none'))}</p>;
  return (
    <>
      {mayManage() && <Chosen {...{ chosen, selection, depots }} reload={list.reload} />}
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
      <p class="unseen" role="status">
        {list.changed.value.size > 0 && tell(message('desk-due-changed', { count: list.changed.value.size }))}
      </p>
      <Shown state={list.state} again={list.reload}>
        {(shown) => <Lines {...{ shown, list, filters, depots }} />}
      </Shown>
    </div>
  );
}
