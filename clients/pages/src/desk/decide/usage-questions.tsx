import { useSignal } from '@preact/signals';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import { Ask } from './ask.js';
import { message } from './messages.js';

export interface AboutReading {
  id: string;
  unit: string;
  /** @param said what was done; null: nothing */
  onClose: (said: string | null) => void;
}

/** Asks before a held usage reading counts. */
export function AcceptReading({ id, unit, onClose }: AboutReading) {
  const replaced = useSignal(false);
  return (
    <Ask
      title={tell(message('desk-do-accept-ask', { unit }))}
      says={[tell(message('desk-do-accept-what'))]}
      way={tell(message('desk-do-accept'))}
      send={async () => {
        const body = { replaced: replaced.value };
        await service().post('/v1/usage-readings/{id}/accept', { path: { id }, body });
      }}
      onClose={(isDone) => onClose(isDone ? tell(message('desk-do-accepted', { unit })) : null)}
    >
      {() => (
        <label class="check">
          <input
            type="checkbox"
            checked={replaced.value}
            onChange={({ currentTarget }) => (replaced.value = currentTarget.checked)}
          />
          {tell(message('desk-do-accept-replaced'))}
        </label>
      )}
    </Ask>
  );
}

/** Asks before a held usage reading is left out. */
export function DiscardReading({ id, unit, onClose }: AboutReading) {
  return (
    <Ask
      title={tell(message('desk-do-discard-ask', { unit }))}
      says={[tell(message('desk-do-discard-what'))]}
      way={tell(message('desk-do-discard'))}
      send={async () => {
        await service().post('/v1/usage-readings/{id}/discard', { path: { id } });
      }}
      onClose={(isDone) => onClose(isDone ? tell(message('desk-do-discarded', { unit })) : null)}
    />
  );
}
