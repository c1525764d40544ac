import { useSignal } from '@preact/signals';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import { Ask, Given } from './ask.js';
import { message } from './messages.js';

/** Asks before a visit is cancelled. */
export function CancelVisit({
  id,
  unit,
  onClose,
}: {
  id: string;
  unit: string;
  onClose: (said: string | null) => void;
}) {
  const reason = useSignal('');
  return (
    <Ask
      title={tell(message('desk-do-cancel-visit-ask', { unit }))}
      says={[tell(message('desk-do-cancel-visit-what'))]}
      way={tell(message('desk-do-cancel-visit'))}
      fields={['/reason']}
      send={async () => {
        await service().post('/v1/visits/{id}/cancel', { path: { id }, body: { reason: reason.value } });
      }}
      onClose={(isDone) => onClose(isDone ? tell(message('desk-do-visit-cancelled', { unit })) : null)}
    >
      {(problem) => (
        <Given label={tell(message('desk-do-reason'))} {...{ value: reason, problem, pointer: '/reason' }} />
      )}
    </Ask>
  );
}
