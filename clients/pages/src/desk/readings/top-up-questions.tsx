import { useSignal } from '@preact/signals';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import { Ask, Chosen, Given } from '../decide/ask.js';
import { message as decideMessage } from '../decide/messages.js';
import type { HeldTopUp } from './held-top-ups.js';
import { message } from './messages.js';

interface AboutTopUp {
  topUp: HeldTopUp;
  /** Who decides, unless they type another name. */
  decidedBy: string;
  /** @param said what was done; null: nothing */
  onClose: (said: string | null) => void;
}

const UNITS = ['L', 'qt', 'gal', 'pt'] as const;
type Unit = (typeof UNITS)[number];

/** How much was added, as it is typed. */
function useAmount({ topUp }: HeldTopUp) {
  const reported = topUp?.added;
  const amount = useSignal(reported == null ? '' : String(reported.value));
  const unit = useSignal<string>(reported?.unit ?? 'L');
  const toMark = useSignal(false);
  const body = () => {
    const added = { value: Number(amount.value.replace(',', '.')), unit: unit.value as Unit };
    return { ...(amount.value.trim() !== '' && { added }), toMark: toMark.value };
  };
  return { amount, unit, toMark, body };
}

/** Asks how much it was before reported coolant counts. */
export function AcceptTopUp({ topUp, onClose }: AboutTopUp) {
  const { id, unitNumber: unit } = topUp;
  const given = useAmount(topUp);
  return (
    <Ask
      title={tell(message('desk-top-up-accept-ask', { unit }))}
      says={[tell(message('desk-top-up-accept-what'))]}
      way={tell(decideMessage('desk-do-accept'))}
      fields={['/added', '/added/value', '/added/unit']}
      send={async () => {
        await service().post('/v1/defects/{id}/accept-top-up', { path: { id }, body: given.body() });
      }}
      onClose={(isDone) => onClose(isDone ? tell(message('desk-top-up-accepted', { unit })) : null)}
    >
      {(problem) => (
        <>
          <Given
            label={tell(message('desk-top-up-amount'))}
            {...{ value: given.amount, problem }}
            pointer={given.amount.value.trim() === '' ? '/added' : '/added/value'}
          />
          <Chosen
            label={tell(message('desk-top-up-unit'))}
            choices={UNITS.map((value) => ({ value, text: value }))}
            {...{ value: given.unit, problem, pointer: '/added/unit' }}
          />
          <label class="check">
            <input
              type="checkbox"
              checked={given.toMark}
              onChange={({ currentTarget }) => (given.toMark.value = currentTarget.checked)}
            />
            {tell(message('desk-top-up-to-mark'))}
          </label>
        </>
      )}
    </Ask>
  );
}

/** Asks who says, and why, before reported coolant is left out and its report closed. */
export function DiscardTopUp({ topUp, decidedBy, onClose }: AboutTopUp) {
  const { id, unitNumber: unit } = topUp;
  const by = useSignal(decidedBy);
  const reason = useSignal('');
  return (
    <Ask
      title={tell(message('desk-top-up-discard-ask', { unit }))}
      says={[tell(message('desk-top-up-discard-what')), tell(message('desk-top-up-discard-leak'))]}
      way={tell(decideMessage('desk-do-discard'))}
      fields={['/decidedBy', '/reason']}
      send={async () => {
        const body = { decidedBy: by.value, reason: reason.value };
        await service().post('/v1/defects/{id}/dismiss', { path: { id }, body });
      }}
      onClose={(isDone) => onClose(isDone ? tell(message('desk-top-up-discarded', { unit })) : null)}
    >
      {(problem) => (
        <>
          <Given
            label={tell(decideMessage('desk-do-dismiss-why'))}
            {...{ value: reason, problem, pointer: '/reason' }}
          />
          <Given
            label={tell(decideMessage('desk-do-decided-by'))}
            {...{ value: by, problem, pointer: '/decidedBy' }}
          />
        </>
      )}
    </Ask>
  );
}
