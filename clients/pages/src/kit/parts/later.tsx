import { useSignal } from '@preact/signals';
import type { FunctionComponent } from 'preact';
import { useEffect } from 'preact/hooks';
import { message } from '../messages.js';
import { tell } from '../texts/tell.js';
import { Fault } from './fault.js';

/**
 * A view that is loaded when it is opened for the first time, so that the first view of a page does
 * not wait for the others. Says so while it is being loaded, and when it cannot be.
 */
export function later<Props extends object = object>(
  load: () => Promise<FunctionComponent<Props>>,
): FunctionComponent<Props> {
  let loaded: FunctionComponent<Props> | null = null;
  return function Later(props: Props) {
    const turn = useSignal(0);
    const state = useSignal<{ problem: unknown } | 'loading' | 'there'>(
      loaded === null ? 'loading' : 'there',
    );
    useEffect(() => {
      if (loaded !== null) return;
      const begin = async (): Promise<void> => {
        state.value = 'loading';
        try {
          loaded = await load();
          state.value = 'there';
        } catch (problem) {
          state.value = { problem };
        }
      };
      void begin();
    }, [turn.value]);
    if (typeof state.value === 'object')
      return <Fault problem={state.value.problem} again={() => turn.value++} />;
    const View = loaded;
    return View === null ? <p role="status">{tell(message('page-loading'))}</p> : <View {...props} />;
  };
}
