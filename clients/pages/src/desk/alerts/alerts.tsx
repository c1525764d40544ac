import { useSignal } from '@preact/signals';
import type { WeepholeClient } from '../../../../typescript/src/client.js';
import { LiveNote } from '../../kit/parts/live-note.js';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useGathered, useLive } from '../../kit/service/live.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { tell } from '../../kit/texts/tell.js';
import { Choice } from '../choice.js';
import { ActOnAlert, type AlertAction } from '../decide/alert-questions.js';
import { Said, useSaid } from '../decide/said.js';
import { useFilters } from '../filter-address.js';
import { type Alert, AlertItem, alertInWords, kindInWords } from './alert-item.js';
import { message } from './messages.js';
import './alerts.css';

const PAGE = 50;
const MOST_DEPOTS = '200';
const GATHER_MS = 1000;

const STATES = ['raised', 'acknowledged', 'shelved', 'cleared'] as const satisfies Alert['status'][];
const KINDS = [
  ...['repeat-top-ups', 'rising-loss', 'unrecorded-water', 'weakening-hold', 'early-return', 'part-cohort'],
] as const satisfies Alert['kind'][];

interface Asked {
  state: string;
  kind: string;
  depot: string;
  wanted: number;
}

/** Loads pages until there are `wanted` alerts or no more. */
async function load(client: WeepholeClient, { state, kind, depot, wanted }: Asked, signal: AbortSignal) {
  const { data: me } = await client.get('/v1/me', { signal });
  const status = STATES.find((one) => one === state);
  const ofKind = KINDS.find((one) => one === kind);
  const items: Alert[] = [];
  let cursor: string | null = null;
  do {
    const given = {
      ...{ ...(status && { status }), ...(ofKind && { kind: ofKind }), limit: String(PAGE) },
      ...(depot !== '' && { depotId: depot }),
    };
    const query: typeof given & { cursor?: string } = { ...given, ...(cursor !== null && { cursor }) };
    const { data } = await client.get('/v1/loss-alerts', { query, signal });
    items.push(...data.items);
    cursor = data.next;
  } while (cursor !== null && items.length < wanted);
  return { items, isAll: cursor === null, timeZone: me.timeZone };
}

const NAMES = ['depot', 'state', 'kind'] as const;

function useDepotChoices() {
  const { state } = useLoaded(
    async (client, signal) =>
      (await client.get('/v1/depots', { query: { limit: MOST_DEPOTS }, signal })).data.items,
    [],
  );
  return (state.value.value ?? []).map(({ id, name }) => ({ value: id, text: name }));
}

function FilterForm({
  values: { depot, state, kind },
  choose,
}: ReturnType<typeof useFilters<(typeof NAMES)[number]>>) {
  const depots = useDepotChoices();
  const open = { value: '', text: tell(message('desk-alerts-state-open')) };
  const all = { value: '', text: tell(message('desk-alerts-all-kinds')) };
  return (
    <form class="filters" role="search" aria-label={tell(message('desk-alerts-filter'))}>
      <Choice
        label={tell(message('desk-alerts-depot'))}
        choices={[{ value: '', text: tell(message('desk-alerts-all-depots')) }, ...depots]}
        value={depot}
        onChoose={(value) => choose('depot', value)}
      />
      <Choice
        label={tell(message('desk-alerts-state'))}
        choices={[
          open,
          ...STATES.map((value) => ({ value, text: tell(message(`desk-alerts-state-${value}`)) })),
        ]}
        value={state}
        onChoose={(value) => choose('state', value)}
      />
      <Choice
        label={tell(message('desk-alerts-kind'))}
        choices={[all, ...KINDS.map((value) => ({ value, text: kindInWords(value) }))]}
        value={kind}
        onChoose={(value) => choose('kind', value)}
      />
    </form>
  );
}

interface Wish {
  alert: Alert;
  action: AlertAction;
}

function List({
  items,
  timeZone,
  onWanted,
}: {
  items: readonly Alert[];
  timeZone: string;
  onWanted: (wish: Wish) => void;
}) {
  if (items.length === 0) return <p>{tell(message('desk-alerts-none'))}</p>;
  return (
    <ul>
      {items.map((alert) => (
        <AlertItem
          key={alert.id}
          {...{ alert, timeZone }}
          onWanted={(action) => onWanted({ alert, action })}
        />
      ))}
    </ul>
  );
}

/** Loss alerts, the newest first, with why they were raised and what can be done. */
export function Alerts() {
  const filters = useFilters(NAMES);
  const wanted = useSignal(PAGE);
  const acting = useSignal<Wish | null>(null);
  const said = useSaid();
  const asked = { ...filters.values, wanted: wanted.value };
  const { state, reload } = useLoaded(
    (client, signal) => load(client, asked, signal),
    [asked.depot, asked.state, asked.kind, asked.wanted],
  );
  const hearing = useLive(useGathered(reload, GATHER_MS));
  const closed = (text: string | null): void => {
    acting.value = null;
    if (text === null) return;
    said.say(text);
    reload();
  };
  return (
    <div class="alerts-view">
      <div class="title">
        <Heading>{tell(message('desk-alerts'))}</Heading>
        <LiveNote hearing={hearing} />
      </div>
      <FilterForm {...filters} />
      <Said of={said} />
      <Shown state={state} again={reload}>
        {({ items, isAll, timeZone }) => (
          <>
            <List {...{ items, timeZone }} onWanted={(wish) => (acting.value = wish)} />
            {!isAll && (
              <button type="button" onClick={() => (wanted.value += PAGE)}>
                {tell(message('desk-alerts-more'))}
              </button>
            )}
            {acting.value !== null && (
              <ActOnAlert
                {...{ action: acting.value.action, id: acting.value.alert.id, timeZone }}
                what={alertInWords(acting.value.alert)}
                onClose={closed}
              />
            )}
          </>
        )}
      </Shown>
    </div>
  );
}
