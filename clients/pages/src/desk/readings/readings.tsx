import { useSignal } from '@preact/signals';
import type { WeepholeClient } from '../../../../typescript/src/client.js';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import { Choice } from '../choice.js';
import { Ask } from '../decide/ask.js';
import { Said, useSaid } from '../decide/said.js';
import { type AboutReading, AcceptReading, DiscardReading } from '../decide/usage-questions.js';
import { useFilters } from '../filter-address.js';
import { heldTopUps } from './held-top-ups.js';
import { TopUps } from './top-ups.js';
import { unitNumbersOf } from '../unit-numbers.js';
import { message } from './messages.js';
import { type ReadingAction, ReadingItem } from './reading-item.js';
import { STATES, type UsageReading } from './words.js';
import './readings.css';

const PAGE = 25;

/** Loads pages until there are `wanted` readings or no more. */
async function load(client: WeepholeClient, state: string, wanted: number, signal: AbortSignal) {
  const [{ data: me }, topUps] = await Promise.all([
    client.get('/v1/me', { signal }),
    heldTopUps(client, signal),
  ]);
  const status = STATES.find((one) => one === state) ?? 'held';
  const items: UsageReading[] = [];
  let cursor: string | null = null;
  do {
    const given = { status, limit: String(PAGE) };
    const query: typeof given & { cursor?: string } = { ...given, ...(cursor !== null && { cursor }) };
    const { data } = await client.get('/v1/usage-readings', { query, signal });
    items.push(...data.items);
    cursor = data.next;
  } while (cursor !== null && items.length < wanted);
  const vehicleIds = items.map(({ vehicleId }) => vehicleId);
  const units = await unitNumbersOf(client, vehicleIds, signal);
  return { items, units, isAll: cursor === null, me, topUps };
}

/** Asks before an accepted reading is voided. */
function VoidReading({ id, unit, onClose }: AboutReading) {
  return (
    <Ask
      title={tell(message('desk-readings-void-ask', { unit }))}
      says={[tell(message('desk-readings-void-what'))]}
      way={tell(message('desk-readings-void'))}
      send={async () => {
        await service().post('/v1/usage-readings/{id}/void', { path: { id } });
      }}
      onClose={(isDone) => onClose(isDone ? tell(message('desk-readings-was-voided', { unit })) : null)}
    />
  );
}

const QUESTIONS = { accept: AcceptReading, discard: DiscardReading, void: VoidReading } as const;

function Question({ action, ...about }: AboutReading & { action: ReadingAction }) {
  const Asking = QUESTIONS[action];
  return <Asking {...about} />;
}

function FilterForm({ values: { state }, choose }: ReturnType<typeof useFilters<'state'>>) {
  return (
    <form class="filters" role="search" aria-label={tell(message('desk-readings-filter'))}>
      <Choice
        label={tell(message('desk-readings-state'))}
        choices={STATES.map((value) => ({ value, text: tell(message(`desk-readings-state-${value}`)) }))}
        value={state === '' ? 'held' : state}
        onChoose={(value) => choose('state', value === 'held' ? '' : value)}
      />
    </form>
  );
}

/** Usage readings, held ones unless asked otherwise, each with what can be decided about it. */
export function Readings() {
  const filters = useFilters(['state']);
  const wanted = useSignal(PAGE);
  const acting = useSignal<{ id: string; unit: string; action: ReadingAction } | null>(null);
  const said = useSaid();
  const { state } = filters.values;
  const { state: loaded, reload } = useLoaded(
    (client, signal) => load(client, state, wanted.value, signal),
    [state, wanted.value],
  );
  const closed = (text: string | null): void => {
    acting.value = null;
    if (text === null) return;
    said.say(text);
    reload();
  };
  return (
    <div class="usage-view">
      <Heading>{tell(message('desk-readings'))}</Heading>
      <FilterForm {...filters} />
      <Said of={said} />
      <Shown state={loaded} again={reload}>
        {({ items, units, isAll, me, topUps }) => (
          <>
            {state === '' && <TopUps {...{ topUps, me }} onDone={closed} />}
            {items.length === 0 && <p>{tell(message('desk-readings-none'))}</p>}
            <ul>
              {items.map((reading) => {
                const unit = units.get(reading.vehicleId) ?? '…';
                return (
                  <ReadingItem
                    key={reading.id}
                    {...{ reading, unit, timeZone: me.timeZone }}
                    onWanted={(action) => (acting.value = { id: reading.id, unit, action })}
                  />
                );
              })}
            </ul>
            {!isAll && (
              <button type="button" onClick={() => (wanted.value += PAGE)}>
                {tell(message('desk-readings-more'))}
              </button>
            )}
          </>
        )}
      </Shown>
      {acting.value !== null && <Question {...acting.value} onClose={closed} />}
    </div>
  );
}
