import { useSignal } from '@preact/signals';
import type { components } from '../../../../typescript/src/client.js';
import { Dialog } from '../../kit/parts/dialog.js';
import { Fault } from '../../kit/parts/fault.js';
import { Field, faultsOf } from '../../kit/parts/field.js';
import { dayInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { useActing } from './acting.js';
import { Basis, Work } from './booked.js';
import { message } from './messages.js';

export type Planned = components['schemas']['PlannedVisitView'];
export type PlannedChange = { day: string } | { pinned: boolean } | { dropped: boolean };

/** A proposed visit: its work, and whether and when it takes place. */
export function PlannedDialog({
  visit,
  change,
  onClose,
}: {
  visit: Planned;
  /** Resolves when the plan has taken the change. */
  change: (visit: Planned, patch: PlannedChange) => Promise<void>;
  onClose: () => void;
}) {
  const day = useSignal(visit.day);
  const { problem, act } = useActing();
  const make = (patch: PlannedChange) => (): void => void act(() => change(visit, patch));
  const title = message('desk-visit-title', { unit: visit.vehicle.unitNumber, on: dayInWords(visit.day) });
  return (
    <Dialog title={tell(title)} onClose={onClose}>
      <Work lines={visit.lines} />
      <Basis lines={visit.lines} />
      <form
        onSubmit={(event) => {
          event.preventDefault();
          make({ day: day.value })();
        }}
      >
        <Field label={tell(message('desk-plan-day'))} faults={faultsOf([problem.value], '/day')}>
          {(about) => (
            <input type="date" {...about} value={day} onInput={(e) => (day.value = e.currentTarget.value)} />
          )}
        </Field>
        <button type="submit">{tell(message('desk-plan-move'))}</button>
      </form>
      {problem.value !== null && <Fault problem={problem.value} />}
      <p class="ways">
        <button type="button" onClick={make({ pinned: !visit.pinned })}>
          {tell(message(visit.pinned ? 'desk-plan-unpin' : 'desk-plan-pin'))}
        </button>
        <button type="button" onClick={make({ dropped: !visit.dropped })}>
          {tell(message(visit.dropped ? 'desk-plan-undrop' : 'desk-plan-drop'))}
        </button>
      </p>
      <p class="faint">{tell(message('desk-plan-drop-about'))}</p>
    </Dialog>
  );
}
