import { useSignal } from '@preact/signals';
import { Dialog } from '../../kit/parts/dialog.js';
import { Fault } from '../../kit/parts/fault.js';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import { kindName, nameOf, type SheetKind } from './file-types.js';
import { message } from './messages.js';

/** Says what taking an import back removes, and does it. */
export function Undo({
  taken,
  onClose,
}: {
  taken: { id: string; fileName: string | null; kind: SheetKind; accepted: number };
  onClose: (isUndone: boolean) => void;
}) {
  const problem = useSignal<unknown>(null);
  const isBusy = useSignal(false);
  const undo = async (): Promise<void> => {
    isBusy.value = true;
    problem.value = null;
    try {
      await service().post('/v1/imports/{id}/undo', { path: { id: taken.id } });
      onClose(true);
    } catch (refused) {
      problem.value = refused;
    }
    isBusy.value = false;
  };
  const name = nameOf(taken);
  return (
    <Dialog title={tell(message('desk-files-undo-of', { name }))} onClose={() => onClose(false)}>
      <p>{tell(message('desk-files-undo-what', { kind: kindName(taken.kind), count: taken.accepted }))}</p>
      <p>{tell(message('desk-files-undo-after'))}</p>
      {problem.value !== null && <Fault problem={problem.value} />}
      <button type="button" disabled={isBusy} onClick={() => void undo()}>
        {tell(message('desk-files-undo-now'))}
      </button>
    </Dialog>
  );
}
