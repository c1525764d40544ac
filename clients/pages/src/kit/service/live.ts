import { type ReadonlySignal, useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { follow, type News } from './follow.js';
import { reader } from '../texts/tell.js';

export type { News } from './follow.js';

/** Whether changes are heard: not yet, now, or not any more. */
export type Hearing = 'connecting' | 'live' | 'cut-off';

/** Follows the changes of the due list as long as the view is shown. */
export function useLive(hear: (news: News) => void): ReadonlySignal<Hearing> {
  const hearing = useSignal<Hearing>('connecting');
  const listener = useRef(hear);
  listener.current = hear;
  const { language } = reader.value;
  useEffect(() => {
    const ending = new AbortController();
    const cutOff = (): void => void (hearing.value = 'cut-off');
    void follow(
      { token: null, language },
      {
        hear: (news) => listener.current(news),
        connected: (isConnected) => (isConnected ? (hearing.value = 'live') : cutOff()),
        refused() {
          cutOff();
          // What is asked for next is refused, too, and says why.
          listener.current({ what: 'all' });
        },
      },
      ending.signal,
    );
    return () => ending.abort();
  }, [language]);
  return hearing;
}

/**
 * Runs `work` some time after it was asked for, however often it was asked meanwhile, unless the
 * view is left before.
 */
export function useGathered(work: () => void, waitMs: number): () => void {
  const timer = useRef<ReturnType<typeof setTimeout> | null>(null);
  const latest = useRef(work);
  latest.current = work;
  useEffect(
    () => () => {
      if (timer.current !== null) clearTimeout(timer.current);
    },
    [],
  );
  return () => {
    timer.current ??= setTimeout(() => {
      timer.current = null;
      latest.current();
    }, waitMs);
  };
}
