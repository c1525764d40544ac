import type { ReadonlySignal } from '@preact/signals';
import { message } from '../messages.js';
import type { Hearing } from '../service/live.js';
import { tell } from '../texts/tell.js';

/** Says whether the view follows changes, and that it may be out of date when it does not. */
export function LiveNote({ hearing }: { hearing: ReadonlySignal<Hearing> }) {
  const is = hearing.value;
  return (
    <p role="status" class={is === 'cut-off' ? 'live cut-off' : 'live'}>
      {tell(message(is === 'connecting' ? 'page-connecting' : `page-${is}`))}
    </p>
  );
}
