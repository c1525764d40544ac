import { useSignal } from '@preact/signals';
import type { components } from '../../../../typescript/src/client.js';
import { Dialog } from '../../kit/parts/dialog.js';
import { Shown } from '../../kit/parts/loading.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { service } from '../../kit/service/session.js';
import { locale, tell } from '../../kit/texts/tell.js';
import { Ask } from './acting.js';
import { DepotForm } from './depot-form.js';
import { message } from './messages.js';

type Depot = components['schemas']['DepotView'];
type Units = 'us' | 'si';

const MOST = 200;

const amount = (given: { value?: number; unit?: string } | null | undefined): string =>
  given?.value === undefined ? '–' : `${given.value.toLocaleString(locale())} ${given.unit ?? ''}`;

const COLUMNS = ['desk-depot', 'desk-depot-high', 'desk-depot-coldest'] as const;

function Table({
  depots,
  onChange,
  onRemove,
}: {
  depots: readonly Depot[];
  onChange: (depot: Depot) => void;
  onRemove: (depot: Depot) => void;
}) {
  if (depots.length === 0) return <p>{tell(message('desk-depots-none'))}</p>;
  return (
    <table>
      <thead>
        <tr>
          {COLUMNS.map((column) => (
            <th key={column} scope="col">
              {tell(message(column))}
            </th>
          ))}
          <td />
        </tr>
      </thead>
      <tbody>
        {depots.map((depot) => (
          <tr key={depot.id}>
            <th scope="row">{depot.name}</th>
            <td>{amount(depot.elevation)}</td>
            <td>{amount(depot.designLowTemperature)}</td>
            <td class="ways">
              <button type="button" class="plain" onClick={() => onChange(depot)}>
                {tell(message('desk-depot-change', { name: depot.name }))}
              </button>
              <button type="button" class="plain" onClick={() => onRemove(depot)}>
                {tell(message('desk-depot-remove', { name: depot.name }))}
              </button>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Change({ depot, units, onClose }: { depot: Depot | null; units: Units; onClose: () => void }) {
  const title =
    depot === null
      ? tell(message('desk-depot-add'))
      : tell(message('desk-depot-change', { name: depot.name }));
  return (
    <Dialog title={title} onClose={onClose}>
      <DepotForm
        given={depot}
        units={units}
        way={tell(message(depot === null ? 'desk-depot-add-now' : 'desk-depot-save'))}
        onGiven={async (body) => {
          if (depot === null) await service().post('/v1/depots', { body });
          else await service().patch('/v1/depots/{id}', { path: { id: depot.id }, body });
          onClose();
        }}
      />
    </Dialog>
  );
}

/** The depots: added, renamed, and removed while nothing uses them. */
export function Depots({ units }: { units: Units }) {
  const changing = useSignal<{ depot: Depot | null } | null>(null);
  const removing = useSignal<Depot | null>(null);
  const { state, reload } = useLoaded(
    async (client, signal) =>
      (await client.get('/v1/depots', { query: { limit: String(MOST) }, signal })).data.items,
    [],
  );
  const close = (): void => {
    changing.value = null;
    removing.value = null;
    reload();
  };
  const gone = removing.value;
  return (
    <section aria-labelledby="depots">
      <h2 id="depots">{tell(message('desk-depots'))}</h2>
      <p>{tell(message('desk-depots-about'))}</p>
      <button type="button" onClick={() => (changing.value = { depot: null })}>
        {tell(message('desk-depot-add'))}
      </button>
      <Shown state={state} again={reload}>
        {(depots) => (
          <Table
            depots={depots}
            onChange={(depot) => (changing.value = { depot })}
            onRemove={(depot) => (removing.value = depot)}
          />
        )}
      </Shown>
      {changing.value !== null && <Change {...changing.value} units={units} onClose={close} />}
      {gone !== null && (
        <Ask
          title={tell(message('desk-depot-remove', { name: gone.name }))}
          what={[tell(message('desk-depot-remove-what'))]}
          way={tell(message('desk-remove-now'))}
          onYes={async () => {
            await service().delete('/v1/depots/{id}', { path: { id: gone.id } });
            close();
          }}
          onClose={close}
        />
      )}
    </section>
  );
}
