import { type Signal, useComputed, useSignal } from '@preact/signals';
import { useCallback, useEffect } from 'preact/hooks';
import type { WeepholeClient } from '../../../../typescript/src/client.js';
import { ProblemError } from '../../../../typescript/src/faults.js';
import { reader } from '../texts/tell.js';
import { forgetSession, service } from './session.js';

export type Loaded<T> =
  | { is: 'loading'; value: T | null }
  | { is: 'there'; value: T }
  | { is: 'failed'; value: T | null; problem: unknown };

/**
 * What a view shows, loaded anew when what it depends on or the language changes. While that
 * lasts, the view keeps what it had.
 *
 * @param load gets a client and a signal that ends when the answer is no longer wanted
 */
export function useLoaded<T>(
  load: (client: WeepholeClient, signal: AbortSignal) => Promise<T>,
  dependsOn: readonly unknown[],
): { state: Signal<Loaded<T>>; reload: () => void } {
  const state = useSignal<Loaded<T>>({ is: 'loading', value: null });
  const turn = useSignal(0);
  const language = useComputed(() => reader.value.language);
  useEffect(() => {
    const ending = new AbortController();
    state.value = { is: 'loading', value: state.peek().value };
    const show = (next: Loaded<T>): void => {
      if (!ending.signal.aborted) state.value = next;
    };
    const begin = async (): Promise<void> => {
      try {
        show({ is: 'there', value: await load(service(), ending.signal) });
      } catch (problem) {
        if (!ending.signal.aborted && problem instanceof ProblemError && problem.status === 401)
          forgetSession(true);
        show({ is: 'failed', value: state.peek().value, problem });
      }
    };
    void begin();
    return () => ending.abort();
  }, [...dependsOn, language.value, turn.value]);
  const reload = useCallback(() => void turn.value++, [turn]);
  return { state, reload };
}
