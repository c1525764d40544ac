import type { Signal } from '@preact/signals';
import { Field, faultsOf } from '../../kit/parts/field.js';
import { tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';

/** Asks why something is done. */
export function Reason({ reason, problems }: { reason: Signal<string>; problems: readonly unknown[] }) {
  return (
    <Field label={tell(message('desk-due-reason'))} faults={faultsOf(problems, '/reason')}>
      {(about) => <input {...about} value={reason} onInput={(e) => (reason.value = e.currentTarget.value)} />}
    </Field>
  );
}
