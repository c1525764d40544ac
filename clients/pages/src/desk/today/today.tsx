import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { Link } from 'wouter-preact';
import type { components, WeepholeClient } from '../../../../typescript/src/client.js';
import { LiveNote } from '../../kit/parts/live-note.js';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useGathered, useLive } from '../../kit/service/live.js';
import { useLoaded } from '../../kit/service/loaded.js';
import type { Me } from '../../kit/service/me.js';
import { tell } from '../../kit/texts/tell.js';
import { heldTopUps } from '../readings/held-top-ups.js';
import { Said, useSaid } from '../decide/said.js';
import { MatterItem, VehicleItem } from './items.js';
import type { Matter, VehicleToDecide } from './matters.js';
import { message } from './messages.js';
import { Question, type Wanted } from './question.js';
import './today.css';

const PAGE = 50;
const GATHER_MS = 1000;
/** Reminders cease to arrive without any change of the fleet, so no news of it comes. */
const LOOK_AGAIN_MS = 60_000;

interface Decisions {
  items: VehicleToDecide[];
  fleetMatters: Matter[];
  troubles: components['schemas']['DeliveryTroubleView'][];
  /** Whether more vehicles follow. */
  isAll: boolean;
  me: Me;
  topUps: Awaited<ReturnType<typeof heldTopUps>>;
}

/** Loads pages until there are `wanted` vehicles or no more. */
async function load(client: WeepholeClient, wanted: number, signal: AbortSignal): Promise<Decisions> {
  const [{ data: me }, { data: first }, topUps] = await Promise.all([
    client.get('/v1/me', { signal }),
    client.get('/v1/today', { query: { limit: String(PAGE) }, signal }),
    heldTopUps(client, signal),
  ]);
  const items = [...first.items];
  let cursor = first.next;
  while (cursor !== null && items.length < wanted) {
    const { data } = await client.get('/v1/today', { query: { limit: String(PAGE), cursor }, signal });
    items.push(...data.items);
    cursor = data.next;
  }
  const { fleetMatters, deliveryTroubles: troubles } = first;
  return { items, fleetMatters, troubles, isAll: cursor === null, me, topUps };
}

interface Follows {
  decisions: Decisions;
  onWanted: (wanted: Wanted) => void;
}

/** What is about no single vehicle. */
function OfFleet({ decisions: { fleetMatters, me }, onWanted }: Follows) {
  if (fleetMatters.length === 0) return null;
  return (
    <section aria-labelledby="of-fleet">
      <h2 id="of-fleet">{tell(message('desk-today-of-fleet'))}</h2>
      <ul>
        {fleetMatters.map((matter) => (
          <MatterItem key={matter.id} {...{ matter, onWanted, vehicle: null, timeZone: me.timeZone }} />
        ))}
      </ul>
    </section>
  );
}

function Troubles({ decisions: { troubles } }: Pick<Follows, 'decisions'>) {
  if (troubles.length === 0) return null;
  return (
    <section aria-labelledby="troubles">
      <h2 id="troubles">{tell(message('desk-today-troubles'))}</h2>
      <ul class="dots">
        {troubles.map(({ kind, message: { text }, reminderTarget }) => (
          <li key={`${kind} ${reminderTarget?.id ?? ''}`}>{text}</li>
        ))}
      </ul>
    </section>
  );
}

/** How many reports of coolant wait to be counted, and the way to them. */
function HeldTopUps({ topUps: { items, isAll } }: Pick<Decisions, 'topUps'>) {
  if (items.length === 0) return null;
  const counted = { count: items.length, all: isAll ? 'yes' : 'no' } as const;
  return (
    <p>
      <Link href="/readings">{tell(message('desk-today-top-ups', counted))}</Link>
    </p>
  );
}

function List({ decisions, onWanted, onMore }: Follows & { onMore: () => void }) {
  const { items, fleetMatters, isAll, me } = decisions;
  const count = items.length;
  return (
    <>
      {count === 0 && fleetMatters.length === 0 && <p class="nothing">{tell(message('desk-today-none'))}</p>}
      {count > 0 && (
        <p class="faint">{tell(message('desk-today-count', { count, all: isAll ? 'yes' : 'no' }))}</p>
      )}
      <ol class="to-decide">
        {items.map((item) => (
          <VehicleItem key={item.vehicle.id} {...{ item, onWanted, timeZone: me.timeZone }} />
        ))}
      </ol>
      {!isAll && (
        <button type="button" onClick={onMore}>
          {tell(message('desk-today-more'))}
        </button>
      )}
      <HeldTopUps topUps={decisions.topUps} />
      <OfFleet {...{ decisions, onWanted }} />
      <Troubles decisions={decisions} />
    </>
  );
}

/** What needs a decision now, by vehicle, the worst first. */
export function Today() {
  const vehicles = useSignal(PAGE);
  const wanted = useSignal<Wanted | null>(null);
  const said = useSaid();
  const { state, reload } = useLoaded(
    (client, signal) => load(client, vehicles.value, signal),
    [vehicles.value],
  );
  const hearing = useLive(useGathered(reload, GATHER_MS));
  useEffect(() => {
    const looking = setInterval(reload, LOOK_AGAIN_MS);
    return () => clearInterval(looking);
  }, [reload]);
  const closed = (text: string | null): void => {
    wanted.value = null;
    if (text === null) return;
    if (text !== '') said.say(text);
    reload();
  };
  return (
    <div class="today-view">
      <div class="title">
        <Heading>{tell(message('desk-today'))}</Heading>
        <LiveNote hearing={hearing} />
      </div>
      <Said of={said} />
      <Shown state={state} again={reload}>
        {(decisions) => (
          <>
            <List
              decisions={decisions}
              onWanted={(one) => (wanted.value = one)}
              onMore={() => (vehicles.value += PAGE)}
            />
            {wanted.value !== null && <Question wanted={wanted.value} me={decisions.me} onClose={closed} />}
          </>
        )}
      </Shown>
    </div>
  );
}
