import { useSignal } from '@preact/signals';
import type { components, WeepholeClient } from '../../../../../typescript/src/client.js';
import type { UnitSystem } from '../../../../../../src/domain/quantities/measures.js';
import { Shown } from '../../../kit/parts/loading.js';
import { Heading } from '../../../kit/parts/shell.js';
import { useLoaded } from '../../../kit/service/loaded.js';
import { service } from '../../../kit/service/session.js';
import { tell } from '../../../kit/texts/tell.js';
import { RecordEditor } from '../../record-form/editor.js';
import type { Endpoint, Kept, Patch } from '../../record-form/use-record.js';
import { ToSettings } from '../to-settings.js';
import { fleetShape } from './fleet-shape.js';
import { message } from './messages.js';

type Fleet = Kept & Pick<components['schemas']['FleetView'], 'name' | 'timeZone' | 'units'>;

async function load(client: WeepholeClient, signal?: AbortSignal): Promise<Fleet> {
  return (await client.get('/v1/fleet', { signal })).data;
}

/** What follows from a change, in sentences. */
function consequences(patch: Patch): string[] {
  const said = [
    'timeZone' in patch && message('desk-fleet-change-time-zone'),
    'units' in patch && message('desk-fleet-change-units'),
    'language' in patch && message('desk-fleet-change-language'),
    'driverLabels' in patch &&
      message(patch['driverLabels'] === 'none' ? 'desk-fleet-change-no-labels' : 'desk-fleet-change-labels'),
    'defaults' in patch && message('desk-fleet-change-practice'),
  ].filter((one) => one !== false);
  return said.map(tell);
}

const ENDPOINT: Endpoint = {
  get: () => load(service()),
  patch: async (body, ifMatch) => (await service().patch('/v1/fleet', { body, ifMatch })).data,
  tryOut: (patch) => Promise.resolve(consequences(patch)),
};

const NOT_READY_MADE = (): readonly string[] => [];

function Page({ loaded }: { loaded: Fleet }) {
  const fleet = useSignal(loaded);
  const { name, units } = fleet.value;
  // The zones do not change while the page is open, so that what is typed stays.
  const shape = useSignal(fleetShape(loaded.timeZone)).value;
  return (
    <RecordEditor
      {...{ name, shape, record: fleet.value, endpoint: ENDPOINT, marksOf: NOT_READY_MADE }}
      units={units satisfies UnitSystem}
      onKept={(kept) => (fleet.value = kept as Fleet)}
    />
  );
}

/** What the fleet is called, by which clocks and units it reckons, and its own practice values. */
export function FleetSettings() {
  const { state, reload } = useLoaded(load, []);
  return (
    <div class="settings-view kept-view">
      <ToSettings />
      <Heading>{tell(message('desk-fleet'))}</Heading>
      <p class="faint">{tell(message('desk-fleet-about'))}</p>
      <Shown state={state} again={reload}>
        {(loaded) => <Page loaded={loaded} />}
      </Shown>
    </div>
  );
}
