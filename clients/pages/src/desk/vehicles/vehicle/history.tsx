import { useSignal } from '@preact/signals';
import { Shown } from '../../../kit/parts/loading.js';
import { problemInWords } from '../../../kit/parts/field.js';
import { useLoaded } from '../../../kit/service/loaded.js';
import { service } from '../../../kit/service/session.js';
import { momentInWords } from '../../../kit/texts/dates.js';
import { tell } from '../../../kit/texts/tell.js';
import type { HistoryEntry } from '../types.js';
import { message } from '../words/messages.js';
import { entryInWords } from './history-words.js';
import { Section } from './section.js';

const PAGE = 20;

interface Happened {
  items: readonly HistoryEntry[];
  next: string | null;
}

function Entry({ entry, timeZone }: { entry: HistoryEntry; timeZone: string }) {
  const { title, verdict, details } = entryInWords(entry, timeZone);
  return (
    <li class={verdict === 'fail' ? 'failed' : undefined}>
      <span class="when">{momentInWords(entry.at, timeZone)}</span>
      <div>
        <p>
          {title}
          {verdict !== null && (
            <>
              {': '}
              <strong>{tell(message(`desk-vehicle-verdict-${verdict}`))}</strong>
            </>
          )}
        </p>
        {details.map((text) => (
          <p key={text} class="faint">
            {text}
          </p>
        ))}
      </div>
    </li>
  );
}

function Entries({ first, id, timeZone }: { first: Happened; id: string; timeZone: string }) {
  const following = useSignal<Happened | null>(null);
  const problem = useSignal<unknown>(null);
  const next = following.value === null ? first.next : following.value.next;
  const items = [...first.items, ...(following.value?.items ?? [])];
  const more = async (): Promise<void> => {
    if (next === null) return;
    try {
      const asked = { path: { id }, query: { limit: PAGE, cursor: next } };
      const { data } = await service().get('/v1/vehicles/{id}/history', asked);
      following.value = { items: [...(following.peek()?.items ?? []), ...data.items], next: data.next };
      problem.value = null;
    } catch (fault) {
      problem.value = fault;
    }
  };
  return (
    <>
      <ol class="history">
        {items.map((entry) => (
          <Entry key={`${entry.what} ${entry.id}`} {...{ entry, timeZone }} />
        ))}
      </ol>
      {problem.value !== null && (
        <p class="fault" role="alert">
          {problemInWords(problem.value)}
        </p>
      )}
      {next !== null && (
        <button type="button" onClick={() => void more()}>
          {tell(message('desk-vehicle-earlier'))}
        </button>
      )}
    </>
  );
}

/**
 * What happened to a vehicle, the latest first, with verdicts.
 *
 * @param asOf changes when something may have happened
 */
export function History({ id, timeZone, asOf }: { id: string; timeZone: string; asOf: unknown }) {
  const { state, reload } = useLoaded(
    async (client, signal) => {
      const asked = { path: { id }, query: { limit: PAGE }, signal };
      return (await client.get('/v1/vehicles/{id}/history', asked)).data;
    },
    [id, asOf],
  );
  return (
    <Section title={tell(message('desk-vehicle-history'))}>
      <Shown state={state} again={reload}>
        {(first) =>
          first.items.length === 0 ? (
            <p>{tell(message('desk-vehicle-no-history'))}</p>
          ) : (
            <Entries key={first.items[0]?.id} {...{ first, id, timeZone }} />
          )
        }
      </Shown>
    </Section>
  );
}
