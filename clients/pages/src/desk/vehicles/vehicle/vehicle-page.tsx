import { useSignal } from '@preact/signals';
import { Link } from 'wouter-preact';
import { later } from '../../../kit/parts/later.js';
import { LiveNote } from '../../../kit/parts/live-note.js';
import { Shown } from '../../../kit/parts/loading.js';
import { Heading } from '../../../kit/parts/shell.js';
import { type News, useGathered, useLive } from '../../../kit/service/live.js';
import { useLoaded } from '../../../kit/service/loaded.js';
import { mayManage, mayWork } from '../../../kit/service/me.js';
import { tell } from '../../../kit/texts/tell.js';
import { EditVehicle } from '../form/edit-vehicle.js';
import { RemoveVehicle } from '../form/remove-vehicle.js';
import { LabelPart } from '../labels/label-part.js';
import { message } from '../words/messages.js';
import { makeInWords } from '../words/words.js';
import { Facts } from './facts.js';
import { Faults } from './faults.js';
import { History } from './history.js';
import { type LoadedVehicle, loadVehicle } from './load-vehicle.js';
import { Alerts, Held, ReleasedNote, Reports } from './open-findings.js';
import { OpenLines } from './open-lines.js';
import { Photos } from './photos.js';
import { Readings } from './readings.js';

const GATHER_MS = 1000;

const Charts = later(async () => (await import('../charts/charts.js')).Charts);

const isAbout = (news: News, id: string): boolean =>
  news.what === 'due-line'
    ? news.line.vehicle.id === id
    : news.what === 'loss-alert'
      ? news.alert.vehicle?.id === id
      : true;

/** What can be done with the vehicle itself. */
function Actions({ loaded, onChange }: { loaded: LoadedVehicle; onChange: () => void }) {
  const shown = useSignal<'nothing' | 'edit' | 'remove'>('nothing');
  const close = (isChanged: boolean): void => {
    shown.value = 'nothing';
    if (isChanged) onChange();
  };
  return (
    <p class="actions">
      <button type="button" onClick={() => (shown.value = 'edit')}>
        {tell(message('desk-vehicle-edit'))}
      </button>
      <button type="button" onClick={() => (shown.value = 'remove')}>
        {tell(message('desk-vehicle-remove'))}
      </button>
      {shown.value === 'edit' && <EditVehicle loaded={loaded} onClose={close} />}
      {shown.value === 'remove' && <RemoveVehicle vehicle={loaded.vehicle} onClose={close} />}
    </p>
  );
}

function Content({ loaded, reload }: { loaded: LoadedVehicle; reload: () => void }) {
  const { vehicle, me } = loaded;
  const { timeZone } = me;
  return (
    <>
      <ReleasedNote {...{ vehicle, timeZone }} />
      <p>
        {makeInWords(vehicle)}{' '}
        <Link href={`/vehicles/${vehicle.id}/job-card`}>
          {tell(message('desk-vehicle-job-card-to-print'))}
        </Link>
      </p>
      <OpenLines due={loaded.due} onChange={reload} />
      <Reports defects={loaded.defects} timeZone={timeZone} />
      <Alerts alerts={loaded.alerts} timeZone={timeZone} />
      <Faults faults={loaded.faults} timeZone={timeZone} />
      <Held held={loaded.held} timeZone={timeZone} />
      <Charts {...{ loaded }} />
      <Readings {...{ id: vehicle.id, timeZone }} asOf={loaded} />
      <History {...{ id: vehicle.id, timeZone }} asOf={loaded} />
      <Photos {...{ id: vehicle.id, timeZone }} />
      <Facts loaded={loaded}>{mayManage() && <Actions loaded={loaded} onChange={reload} />}</Facts>
      {mayWork() && <LabelPart vehicle={vehicle} />}
    </>
  );
}

/** A vehicle: what is open on it first, then how it got there, then what it is. */
export function VehiclePage({ id }: { id: string }) {
  const { state, reload } = useLoaded((client, signal) => loadVehicle(client, id, signal), [id]);
  const reloadSoon = useGathered(reload, GATHER_MS);
  const hearing = useLive((news) => {
    if (isAbout(news, id)) reloadSoon();
  });
  const unitNumber = state.value.value?.vehicle.unitNumber;
  return (
    <div class="vehicle-view">
      <p>
        <Link href="/vehicles">{tell(message('desk-vehicles-to-all'))}</Link>
      </p>
      <div class="title">
        <Heading>{unitNumber ?? tell(message('desk-vehicle'))}</Heading>
        <LiveNote hearing={hearing} />
      </div>
      <Shown state={state} again={reload}>
        {(loaded) => <Content {...{ loaded, reload }} />}
      </Shown>
    </div>
  );
}
