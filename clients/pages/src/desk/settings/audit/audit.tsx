import { useSignal } from '@preact/signals';
import type { WeepholeClient } from '../../../../../typescript/src/client.js';
import { Shown } from '../../../kit/parts/loading.js';
import { Heading } from '../../../kit/parts/shell.js';
import { useLoaded } from '../../../kit/service/loaded.js';
import { beginningOfDay } from '../../../kit/texts/dates.js';
import { tell } from '../../../kit/texts/tell.js';
import { useFilters } from '../../filter-address.js';
import { ToSettings } from '../to-settings.js';
import { type Entry, Entries } from './entries.js';
import { AuditFilters, NAMES, type Values } from './filters.js';
import { message } from './messages.js';
import { type Actors, loadNames } from './names.js';
import './audit.css';

const PAGE = 25;

interface Audit {
  entries: readonly Entry[];
  isAll: boolean;
  actors: Actors;
  names: ReadonlyMap<string, string>;
  timeZone: string;
}

const DAY_MS = 86_400_000;

/** The day after a civil date. */
const dayAfter = (date: string): string =>
  new Date(Date.parse(`${date}T00:00:00Z`) + DAY_MS).toISOString().slice(0, 10);

/** The filters as the API takes them. Days are those of the fleet's clocks. */
function queryOf({ from, to, ...values }: Values, timeZone: string): Record<string, string> {
  const given = {
    ...values,
    from: from === '' ? '' : beginningOfDay(from, timeZone).toISOString(),
    to: to === '' ? '' : beginningOfDay(dayAfter(to), timeZone).toISOString(),
  };
  return Object.fromEntries(Object.entries(given).filter(([, value]) => value !== ''));
}

/** Unit numbers of the vehicles that records are about which never pass to another vehicle. */
function unitNumbersIn(entries: readonly Entry[]): [string, string][] {
  return entries.flatMap(({ kind, changes, subjectName }): [string, string][] => {
    const { to } = (changes['vehicleId'] ?? {}) as { to?: unknown };
    if (kind === 'telematics-machine' || typeof to !== 'string' || subjectName === null) return [];
    return [[to, subjectName]];
  });
}

/** Loads `wanted` entries, and whether there are more. */
async function load(
  client: WeepholeClient,
  values: Values,
  wanted: number,
  signal: AbortSignal,
): Promise<Audit> {
  const { data: me } = await client.get('/v1/me', { signal });
  const known = await loadNames(client, signal);
  const query = { ...queryOf(values, me.timeZone), limit: PAGE };
  const found: Entry[] = [];
  for await (const entry of client.items('/v1/audit', { query, signal })) {
    found.push(entry);
    if (found.length > wanted) break;
  }
  const entries = found.slice(0, wanted);
  return {
    ...{ entries, actors: known.actors, names: new Map([...known.names, ...unitNumbersIn(entries)]) },
    ...{ isAll: found.length <= wanted, timeZone: me.timeZone },
  };
}

/** Who changed what, when, the newest first. */
export function AuditView() {
  const { values, choose } = useFilters(NAMES);
  const wanted = useSignal(PAGE);
  const { state, reload } = useLoaded(
    (client, signal) => load(client, values, wanted.value, signal),
    [...NAMES.map((name) => values[name]), wanted.value],
  );
  return (
    <div class="settings-view audit-view">
      <ToSettings />
      <Heading>{tell(message('desk-audit'))}</Heading>
      <p class="faint">{tell(message('desk-audit-about'))}</p>
      <AuditFilters {...{ values, choose }} actors={state.value.value?.actors ?? []} />
      <Shown state={state} again={reload}>
        {({ entries, isAll, names, timeZone }) => (
          <>
            <Entries {...{ entries, reading: { names, timeZone } }} onOnly={(id) => choose('id', id)} />
            {!isAll && (
              <button type="button" onClick={() => (wanted.value += PAGE)}>
                {tell(message('desk-audit-more'))}
              </button>
            )}
          </>
        )}
      </Shown>
    </div>
  );
}
