import { type Signal, useSignal } from '@preact/signals';

/** Runs a change, keeps what was refused for the reader, and says whether it is under way. */
export function useActing(): {
  problem: Signal<unknown>;
  isBusy: Signal<boolean>;
  act: (work: () => Promise<void>) => Promise<void>;
} {
  const problem = useSignal<unknown>(null);
  const isBusy = useSignal(false);
  const act = async (work: () => Promise<void>): Promise<void> => {
    if (isBusy.value) return;
    isBusy.value = true;
    problem.value = null;
    try {
      await work();
    } catch (refused) {
      problem.value = refused;
    } finally {
      isBusy.value = false;
    }
  };
  return { problem, isBusy, act };
}
