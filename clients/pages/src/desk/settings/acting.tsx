import { type Signal, useSignal } from '@preact/signals';
import { Dialog } from '../../kit/parts/dialog.js';
import { Fault } from '../../kit/parts/fault.js';

export interface Acting {
  problem: Signal<unknown>;
  isBusy: Signal<boolean>;
  /** Runs something, and keeps what the service refuses. */
  act: (work: () => Promise<void>) => Promise<void>;
}

/** For something that the service may refuse. */
export function useActing(): Acting {
  const problem = useSignal<unknown>(null);
  const isBusy = useSignal(false);
  const act = async (work: () => Promise<void>): Promise<void> => {
    isBusy.value = true;
    problem.value = null;
    try {
      await work();
    } catch (refused) {
      problem.value = refused;
    }
    isBusy.value = false;
  };
  return { problem, isBusy, act };
}

/**
 * Asks before something is done, and says what follows.
 *
 * @param way what the button says
 */
export function Ask({
  title,
  what,
  way,
  onYes,
  onClose,
}: {
  title: string;
  what: readonly string[];
  way: string;
  onYes: () => Promise<void>;
  onClose: () => void;
}) {
  const { problem, isBusy, act } = useActing();
  return (
    <Dialog title={title} onClose={onClose}>
      {what.map((text) => (
        <p key={text}>{text}</p>
      ))}
      {problem.value !== null && <Fault problem={problem.value} />}
      <button type="button" disabled={isBusy} onClick={() => void act(onYes)}>
        {way}
      </button>
    </Dialog>
  );
}
