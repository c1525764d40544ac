import { useSignal } from '@preact/signals';
import type { WeepholeClient } from '../../../../../typescript/src/client.js';
import { Dialog } from '../../../kit/parts/dialog.js';
import { problemInWords } from '../../../kit/parts/field.js';
import { Shown } from '../../../kit/parts/loading.js';
import { useLoaded } from '../../../kit/service/loaded.js';
import { service } from '../../../kit/service/session.js';
import { tell } from '../../../kit/texts/tell.js';
import { message as kitMessage } from '../../../kit/messages.js';
import type { Label, Vehicle } from '../types.js';
import { PrintFrame } from '../vehicle/print-frame.js';
import { message } from '../words/messages.js';

/** How many vehicles the service takes by id at a time. */
const AT_A_TIME = 100;

function inParts<T>(all: readonly T[]): T[][] {
  const count = Math.ceil(all.length / AT_A_TIME);
  return Array.from({ length: count }, (_, part) => all.slice(part * AT_A_TIME, (part + 1) * AT_A_TIME));
}

const idsOf = (vehicles: readonly Vehicle[]): string => vehicles.map(({ id }) => id).join();

async function labelsOf(
  client: WeepholeClient,
  vehicles: readonly Vehicle[],
  signal: AbortSignal,
): Promise<Label[]> {
  const parts = inParts(vehicles).map((part) =>
    client.get('/v1/vehicle-labels', { query: { vehicleIds: idsOf(part), limit: AT_A_TIME }, signal }),
  );
  return (await Promise.all(parts)).flatMap(({ data }) => data.items);
}

/** The labels that are still to be made, and what came in the way of some. */
function Missing({ missing, onMade }: { missing: readonly Vehicle[]; onMade: () => void }) {
  const refused = useSignal<readonly string[]>([]);
  const isBusy = useSignal(false);
  const make = async (): Promise<void> => {
    isBusy.value = true;
    refused.value = [];
    for (const { id, unitNumber: unit } of missing)
      try {
        await service().post('/v1/vehicles/{id}/label', { path: { id } });
      } catch (problem) {
        const why = problemInWords(problem);
        refused.value = [...refused.value, tell(message('desk-labels-refused', { unit, why }))];
      }
    isBusy.value = false;
    onMade();
  };
  return (
    <>
      {missing.length > 0 && (
        <p>
          {tell(message('desk-labels-missing', { count: missing.length }))}{' '}
          <button type="button" disabled={isBusy.value} onClick={() => void make()}>
            {tell(message('desk-labels-make', { count: missing.length }))}
          </button>
        </p>
      )}
      <ul class="dots" role="status">
        {refused.value.map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
    </>
  );
}

/** Sheets with the labels of some vehicles, each sheet to print. */
function Sheets({ vehicles }: { vehicles: readonly Vehicle[] }) {
  const parts = inParts(vehicles);
  const title = tell(message('desk-label-print'));
  return (
    <>
      {parts.map((part, index) => (
        <PrintFrame
          key={idsOf(part)}
          title={parts.length === 1 ? title : `${title} ${index + 1} / ${parts.length}`}
          load={async (client, signal) => {
            const query = { vehicleIds: idsOf(part), limit: AT_A_TIME, format: 'html' as const };
            return (await client.file('/v1/vehicle-labels', { query, signal })).data.text();
          }}
          dependsOn={[idsOf(part)]}
        />
      ))}
    </>
  );
}

/** Prints the labels of several vehicles, and makes those that are missing. */
export function PrintLabels({ vehicles, onClose }: { vehicles: readonly Vehicle[]; onClose: () => void }) {
  const { state, reload } = useLoaded(
    (client, signal) => labelsOf(client, vehicles, signal),
    [idsOf(vehicles)],
  );
  return (
    <Dialog
      title={tell(message('desk-labels-of', { count: vehicles.length }))}
      way={tell(kitMessage('page-close'))}
      onClose={onClose}
    >
      <Shown state={state} again={reload}>
        {(labels) => {
          const labelled = new Set(labels.map(({ vehicleId }) => vehicleId));
          return (
            <>
              {labels.some(({ takes }) => takes === 'none') && (
                <p class="fault">{tell(message('desk-label-off'))}</p>
              )}
              <Missing missing={vehicles.filter(({ id }) => !labelled.has(id))} onMade={reload} />
              <Sheets vehicles={vehicles.filter(({ id }) => labelled.has(id))} />
            </>
          );
        }}
      </Shown>
    </Dialog>
  );
}
