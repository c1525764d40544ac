import { useSignal } from '@preact/signals';
import type { DueLine } from '../../kit/due/due-line.js';
import { tell } from '../../kit/texts/tell.js';
import { Assign } from './assign.js';
import { Book } from './book.js';
import type { Depot } from './filter-form.js';
import { named } from './many-lines.js';
import { message } from './messages.js';
import { PutOff } from './put-off.js';
import type { Selection } from './selection.js';
import { TakeBack } from './take-back.js';

type What = 'book' | 'assign' | 'put-off' | 'take-back';

interface Asking {
  what: What;
  lines: readonly DueLine[];
}

/** The buttons for what can be done with the selected rows. */
function Ways({ chosen, ask }: { chosen: readonly DueLine[]; ask: (asking: Asking) => void }) {
  const putOff = chosen.filter(({ postponedUntil }) => postponedUntil !== null);
  const way = (what: What, text: string, lines = chosen) => (
    <button type="button" onClick={() => ask({ what, lines })}>
      {text}
    </button>
  );
  if (chosen.length === 0) return null;
  return (
    <>
      {way('book', tell(message('desk-due-book-selected')))}
      {way('assign', tell(message('desk-due-assign-selected')))}
      {way('put-off', tell(message('desk-due-put-off-selected')))}
      {putOff.length > 0 &&
        way('take-back', tell(message('desk-due-take-back-selected', { count: putOff.length })), putOff)}
    </>
  );
}

/** What can be done with the selected rows. Those that were put off can be taken back. */
export function Chosen({
  chosen,
  selection,
  depots,
  reload,
}: {
  chosen: readonly DueLine[];
  selection: Selection;
  depots: readonly Depot[];
  reload: () => void;
}) {
  const asking = useSignal<Asking | null>(null);
  const count = chosen.length;
  const onClose = (done: readonly string[]): void => {
    asking.value = null;
    for (const id of done) selection.touch(id, false, false);
    if (done.length > 0) reload();
  };
  const { what, lines = [] } = asking.value ?? {};
  return (
    <>
      <div
        class={count === 0 ? 'unseen' : 'bulk'}
        role="group"
        aria-label={tell(message('desk-due-selected-lines'))}
      >
        <p role="status">{tell(message('desk-due-selected', { count }))}</p>
        <Ways chosen={chosen} ask={(next) => (asking.value = next)} />
      </div>
      {what === 'book' && <Book {...{ lines, depots, onClose }} />}
      {what === 'assign' && (
        <Assign {...{ lines, onClose }} onPlan={(left) => (asking.value = { what: 'book', lines: left })} />
      )}
      {what === 'put-off' && <PutOff lines={lines.map(named)} onClose={onClose} />}
      {what === 'take-back' && <TakeBack lines={lines.map(named)} onClose={onClose} />}
    </>
  );
}
