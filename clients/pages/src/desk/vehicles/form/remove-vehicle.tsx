import { useSignal } from '@preact/signals';
import { useLocation } from 'wouter-preact';
import { ProblemError } from '../../../../../typescript/src/client.js';
import { Dialog } from '../../../kit/parts/dialog.js';
import { problemInWords } from '../../../kit/parts/field.js';
import { service } from '../../../kit/service/session.js';
import { tell } from '../../../kit/texts/tell.js';
import type { Vehicle } from '../types.js';
import { message } from '../words/messages.js';

/** Asks whether a vehicle is to be removed. One with a history can only be marked as disposed of. */
export function RemoveVehicle({
  vehicle: { id, unitNumber: unit, version },
  onClose,
}: {
  vehicle: Vehicle;
  onClose: (isChanged: boolean) => void;
}) {
  const problem = useSignal<unknown>(null);
  const [, go] = useLocation();
  const path = { id };
  const attempt = async (work: () => Promise<void>): Promise<void> => {
    try {
      await work();
    } catch (fault) {
      problem.value = fault;
    }
  };
  const remove = async (): Promise<void> => {
    await service().delete('/v1/vehicles/{id}', { path });
    go('/vehicles', { replace: true });
  };
  const dispose = async (): Promise<void> => {
    const body = { status: 'disposed' as const };
    await service().patch('/v1/vehicles/{id}', { path, body, ifMatch: `"${version}"` });
    onClose(true);
  };
  const hasHistory = problem.value instanceof ProblemError && problem.value.status === 409;
  return (
    <Dialog title={tell(message('desk-vehicle-remove-title', { unit }))} onClose={() => onClose(false)}>
      {problem.value === null && <p>{tell(message('desk-vehicle-remove-what', { unit }))}</p>}
      {problem.value !== null && (
        <p class="fault" role="alert">
          {problemInWords(problem.value)}
        </p>
      )}
      {hasHistory ? (
        <>
          <p>{tell(message('desk-vehicle-dispose-what', { unit }))}</p>
          <button type="button" onClick={() => void attempt(dispose)}>
            {tell(message('desk-vehicle-dispose'))}
          </button>
        </>
      ) : (
        <button type="button" onClick={() => void attempt(remove)}>
          {tell(message('desk-vehicle-remove-now', { unit }))}
        </button>
      )}
    </Dialog>
  );
}
