import type { ReadonlySignal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { message } from '../messages.js';
import type { Loaded } from '../service/loaded.js';
import { tell } from '../texts/tell.js';
import { Fault } from './fault.js';

/** Shows what has been loaded; says that it is being loaded, or why it could not be. */
export function Shown<T>({
  state,
  again,
  children,
}: {
  state: ReadonlySignal<Loaded<T>>;
  again: () => void;
  children: (value: T) => ComponentChildren;
}) {
  const { value } = state;
  return (
    <div aria-busy={value.is === 'loading'}>
      {value.is === 'failed' && <Fault problem={value.problem} again={again} />}
      {value.value === null
        ? value.is === 'loading' && <p role="status">{tell(message('page-loading'))}</p>
        : children(value.value)}
    </div>
  );
}
