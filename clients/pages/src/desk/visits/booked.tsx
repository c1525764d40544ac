import { useSignal } from '@preact/signals';
import type { components } from '../../../../typescript/src/client.js';
import { workInWords } from '../../kit/due/due-line.js';
import { message as kitMessage } from '../../kit/messages.js';
import { Dialog } from '../../kit/parts/dialog.js';
import { Fault } from '../../kit/parts/fault.js';
import { Field, faultsOf } from '../../kit/parts/field.js';
import { mayManage } from '../../kit/service/me.js';
import { service } from '../../kit/service/session.js';
import { dayInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { useActing } from './acting.js';
import { message } from './messages.js';

export type Booked = components['schemas']['VisitView'];
export type Person = components['schemas']['PersonView'];

type Workload = Parameters<typeof workInWords>[0];

/** The work of a visit. */
export const Work = ({ lines }: { lines: readonly (Workload & { dueLineId: string })[] }) => (
  <ul class="dots">
    {lines.map((line) => (
      <li key={line.dueLineId}>{workInWords(line)}</li>
    ))}
  </ul>
);

/** What the dates of some work rest on where that is not the maker's figure, each once. */
export const Basis = ({ lines }: { lines: readonly { basis: readonly { text: string }[] }[] }) => (
  <>
    {[...new Set(lines.flatMap(({ basis }) => basis.map(({ text }) => text)))].map((text) => (
      <p key={text}>{text}</p>
    ))}
  </>
);

/** The people who can do a visit at a depot. */
const ableAt = (people: readonly Person[], depotId: string): Person[] =>
  people.filter(
    ({ role, depotIds }) =>
      (role === 'manager' || role === 'mechanic') && (depotIds == null || depotIds.includes(depotId)),
  );

function Assign({ visit, people, onDone }: { visit: Booked; people: readonly Person[]; onDone: () => void }) {
  const who = useSignal(visit.assignedTo?.id ?? '');
  const { problem, act } = useActing();
  const assign = (): Promise<void> =>
    act(async () => {
      const body = { personId: who.value === '' ? null : who.value };
      await service().post('/v1/visits/{id}/assign', { path: { id: visit.id }, body });
      onDone();
    });
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        void assign();
      }}
    >
      <p class="faint">{tell(message('desk-visit-assign-about'))}</p>
      <Field label={tell(message('desk-visit-who'))} faults={faultsOf([problem.value], '/personId')}>
        {(about) => (
          <select {...about} value={who} onChange={(e) => (who.value = e.currentTarget.value)}>
            <option value="">{tell(message('desk-visit-nobody'))}</option>
            {ableAt(people, visit.depotId).map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        )}
      </Field>
      {problem.value !== null && <Fault problem={problem.value} />}
      <button type="submit">{tell(message('desk-visit-assign'))}</button>
    </form>
  );
}

function Cancel({ visit, onDone }: { visit: Booked; onDone: () => void }) {
  const reason = useSignal('');
  const { problem, act } = useActing();
  const cancel = (): Promise<void> =>
    act(async () => {
      const body = { reason: reason.value };
      await service().post('/v1/visits/{id}/cancel', { path: { id: visit.id }, body });
      onDone();
    });
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        void cancel();
      }}
    >
      <p class="faint">{tell(message('desk-visit-cancel-about'))}</p>
      <Field label={tell(message('desk-visit-reason'))} faults={faultsOf([problem.value], '/reason')}>
        {(about) => (
          <input {...about} value={reason} onInput={(e) => (reason.value = e.currentTarget.value)} />
        )}
      </Field>
      {problem.value !== null && <Fault problem={problem.value} />}
      <button type="submit">{tell(message('desk-visit-cancel'))}</button>
    </form>
  );
}

/** A booked visit: its work, who does it, and the way to cancel it. */
export function BookedDialog({
  visit,
  people,
  onClose,
  onDone,
}: {
  visit: Booked;
  people: readonly Person[];
  onClose: () => void;
  onDone: () => void;
}) {
  const title = message('desk-visit-title', { unit: visit.vehicle.unitNumber, on: dayInWords(visit.day) });
  return (
    <Dialog
      title={tell(title)}
      way={mayManage() ? undefined : tell(kitMessage('page-close'))}
      onClose={onClose}
    >
      <Work lines={visit.lines} />
      {mayManage() && (
        <>
          <Assign {...{ visit, people, onDone }} />
          <Cancel {...{ visit, onDone }} />
        </>
      )}
    </Dialog>
  );
}
