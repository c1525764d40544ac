import { useSignal } from '@preact/signals';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import { Ask, Given } from '../decide/ask.js';
import { message } from './messages.js';

interface Closing {
  /** @param said what was done; null: nothing */
  onClose: (said: string | null) => void;
}

/** Asks why a report is voided, and says what is judged again. */
export function VoidReport({ id, unit, onClose }: Closing & { id: string; unit: string }) {
  const reason = useSignal('');
  return (
    <Ask
      title={tell(message('desk-report-void-ask', { unit }))}
      says={[tell(message('desk-report-void-what')), tell(message('desk-report-void-no-undo'))]}
      way={tell(message('desk-report-void-now'))}
      fields={['/reason']}
      send={async () => {
        await service().post('/v1/job-reports/{id}/void', { path: { id }, body: { reason: reason.value } });
      }}
      onClose={(isDone) => onClose(isDone ? tell(message('desk-report-was-voided')) : null)}
    >
      {(problem) => (
        <Given
          label={tell(message('desk-report-reason'))}
          {...{ value: reason, problem, pointer: '/reason' }}
        />
      )}
    </Ask>
  );
}

/** Asks why a photo is voided. Its file is removed. */
export function VoidPhoto({
  id,
  attachmentId,
  number,
  onClose,
}: Closing & { id: string; attachmentId: string; number: number }) {
  const reason = useSignal('');
  return (
    <Ask
      title={tell(message('desk-report-void-photo', { number }))}
      says={[tell(message('desk-report-void-photo-what'))]}
      way={tell(message('desk-report-void-photo', { number }))}
      fields={['/reason']}
      send={async () => {
        const path = { id, attachmentId };
        const body = { reason: reason.value };
        await service().post('/v1/job-reports/{id}/attachments/{attachmentId}/void', { path, body });
      }}
      onClose={(isDone) => onClose(isDone ? tell(message('desk-report-photo-was-voided')) : null)}
    >
      {(problem) => (
        <Given
          label={tell(message('desk-report-reason'))}
          {...{ value: reason, problem, pointer: '/reason' }}
        />
      )}
    </Ask>
  );
}
