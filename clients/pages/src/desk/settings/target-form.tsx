import { useSignal } from '@preact/signals';
import type { components } from '../../../../typescript/src/client.js';
import { Fault } from '../../kit/parts/fault.js';
import { Field, faultsOf } from '../../kit/parts/field.js';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import { useActing } from './acting.js';
import { message } from './messages.js';

export type NewTarget = components['schemas']['NewReminderTargetView'];

/** Adds an address that hears what comes due. */
export function TargetForm({ onMade }: { onMade: (made: NewTarget) => void }) {
  const kind = useSignal<'webhook' | 'email'>('email');
  const address = useSignal('');
  const { problem, isBusy, act } = useActing();
  const problems = [problem.value];
  const submit = (event: Event): void => {
    event.preventDefault();
    void act(async () => {
      const body = { kind: kind.value, address: address.value.trim() };
      const { data } = await service().post('/v1/reminder-targets', { body });
      address.value = '';
      onMade(data);
    });
  };
  const faults = { kind: faultsOf(problems, '/kind'), address: faultsOf(problems, '/address') };
  const isOfField = faults.kind.length + faults.address.length > 0;
  return (
    <form noValidate onSubmit={submit}>
      <Field label={tell(message('desk-target-kind'))} faults={faults.kind}>
        {(about) => (
          <select
            {...about}
            value={kind}
            onChange={({ currentTarget: { value } }) =>
              (kind.value = value === 'webhook' ? 'webhook' : 'email')
            }
          >
            <option value="email">{tell(message('desk-target-email'))}</option>
            <option value="webhook">{tell(message('desk-target-webhook'))}</option>
          </select>
        )}
      </Field>
      <Field label={tell(message('desk-target-address'))} faults={faults.address}>
        {(about) => (
          <input
            {...about}
            autocomplete="off"
            value={address}
            onInput={(e) => (address.value = e.currentTarget.value)}
          />
        )}
      </Field>
      {problem.value !== null && !isOfField && <Fault problem={problem.value} />}
      <button type="submit" disabled={isBusy}>
        {tell(message('desk-target-add'))}
      </button>
    </form>
  );
}
