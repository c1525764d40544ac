import { useSignal } from '@preact/signals';
import { useEffect, useState } from 'preact/hooks';
import { ProblemError } from '../../../../../typescript/src/client.js';
import { Dialog } from '../../../kit/parts/dialog.js';
import { problemInWords } from '../../../kit/parts/field.js';
import { Shown } from '../../../kit/parts/loading.js';
import { useLoaded } from '../../../kit/service/loaded.js';
import { mayManage } from '../../../kit/service/me.js';
import { service } from '../../../kit/service/session.js';
import { tell } from '../../../kit/texts/tell.js';
import type { Label, Vehicle } from '../types.js';
import { PrintFrame } from '../vehicle/print-frame.js';
import { Section } from '../vehicle/section.js';
import { message } from '../words/messages.js';

type Change = 'renew' | 'remove';

/** The QR code, as large as it is printed. */
function Code({ label: { vehicleId, unitNumber, madeAt } }: { label: Label }) {
  const { state } = useLoaded(
    async (client, signal) =>
      (await client.file('/v1/vehicles/{id}/label.svg', { path: { id: vehicleId }, signal })).data,
    [vehicleId, madeAt],
  );
  const blob = state.value.value;
  const [address, setAddress] = useState<string | null>(null);
  useEffect(() => {
    if (blob === null) return;
    const made = URL.createObjectURL(new Blob([blob], { type: 'image/svg+xml' }));
    setAddress(made);
    return () => URL.revokeObjectURL(made);
  }, [blob]);
  return address === null ? null : (
    <img class="qr" src={address} alt={tell(message('desk-label-code', { unit: unitNumber }))} />
  );
}

/** Asks whether a label is to stop working, and says what follows. */
function Confirm({
  change,
  unit,
  onClose,
}: {
  change: Change;
  unit: string;
  onClose: (isMeant: boolean) => void;
}) {
  return (
    <Dialog title={tell(message(`desk-label-${change}-title`, { unit }))} onClose={() => onClose(false)}>
      <p>{tell(message(`desk-label-${change}-what`))}</p>
      <p>{tell(message('desk-label-no-undo'))}</p>
      <button type="button" onClick={() => onClose(true)}>
        {tell(message(`desk-label-${change}`))}
      </button>
    </Dialog>
  );
}

function Made({ label, onChange }: { label: Label; onChange: (change: Change) => void }) {
  const asked = useSignal<Change | null>(null);
  const isPrinting = useSignal(false);
  const { vehicleId: id, unitNumber: unit } = label;
  const title = tell(message('desk-label-print'));
  return (
    <>
      <Code label={label} />
      {label.takes === 'none' && <p class="fault">{tell(message('desk-label-off'))}</p>}
      <p class="actions">
        <button type="button" onClick={() => (isPrinting.value = !isPrinting.value)}>
          {title}
        </button>
        {mayManage() &&
          (['renew', 'remove'] as const).map((change) => (
            <button key={change} type="button" onClick={() => (asked.value = change)}>
              {tell(message(`desk-label-${change}-ask`))}
            </button>
          ))}
      </p>
      {asked.value !== null && (
        <Confirm
          {...{ change: asked.value, unit }}
          onClose={(isMeant) => {
            const change = asked.peek();
            asked.value = null;
            if (isMeant && change !== null) onChange(change);
          }}
        />
      )}
      {isPrinting.value && (
        <PrintFrame
          title={title}
          load={async (client, signal) => {
            const query = { format: 'html' as const };
            return (
              await client.file('/v1/vehicles/{id}/label', { path: { id }, query, signal })
            ).data.text();
          }}
          dependsOn={[id, label.madeAt]}
        />
      )}
    </>
  );
}

function NotMade({ onMake }: { onMake: () => void }) {
  return (
    <p>
      {tell(message('desk-label-none'))}{' '}
      {mayManage() && (
        <button type="button" onClick={onMake}>
          {tell(message('desk-label-make'))}
        </button>
      )}
    </p>
  );
}

/** The label by which drivers report: made, shown, printed, renewed and taken away. */
export function LabelPart({ vehicle: { id, unitNumber } }: { vehicle: Vehicle }) {
  const path = { id };
  const problem = useSignal<unknown>(null);
  const { state, reload } = useLoaded(
    async (client, signal): Promise<{ label: Label | null }> => {
      try {
        return { label: (await client.get('/v1/vehicles/{id}/label', { path, signal })).data };
      } catch (fault) {
        if (fault instanceof ProblemError && fault.status === 404) return { label: null };
        throw fault;
      }
    },
    [id],
  );
  const change = async (what: Change | 'make'): Promise<void> => {
    problem.value = null;
    try {
      if (what === 'make') await service().post('/v1/vehicles/{id}/label', { path });
      else if (what === 'renew') await service().post('/v1/vehicles/{id}/label/renew', { path });
      else await service().delete('/v1/vehicles/{id}/label', { path });
    } catch (fault) {
      problem.value = fault;
    }
    reload();
  };
  return (
    <Section title={tell(message('desk-label'))}>
      <p>{tell(message('desk-label-about', { unit: unitNumber }))}</p>
      {problem.value !== null && (
        <p class="fault" role="alert">
          {problemInWords(problem.value)}
        </p>
      )}
      <Shown state={state} again={reload}>
        {({ label }) =>
          label === null ? (
            <NotMade onMake={() => void change('make')} />
          ) : (
            <Made label={label} onChange={(what) => void change(what)} />
          )
        }
      </Shown>
    </Section>
  );
}
