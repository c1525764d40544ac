import { useSignal } from '@preact/signals';
import type { components } from '../../../../typescript/src/client.js';
import { Dialog } from '../../kit/parts/dialog.js';
import { Fault } from '../../kit/parts/fault.js';
import { Shown } from '../../kit/parts/loading.js';
import { message as kitMessage } from '../../kit/messages.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import { Ask, useActing } from './acting.js';
import { message } from './messages.js';
import { TargetForm } from './target-form.js';

type Target = components['schemas']['ReminderTargetView'];
type Tested = components['schemas']['TestResult'];

const MOST = 200;

/** Shows the secret of a target, which nobody can read again. */
function Secret({ address, secret, onClose }: { address: string; secret: string; onClose: () => void }) {
  return (
    <Dialog
      title={tell(message('desk-target-secret', { address }))}
      way={tell(kitMessage('page-close'))}
      onClose={onClose}
    >
      <p>{tell(message('desk-target-secret-about'))}</p>
      <input
        class="secret"
        readOnly
        aria-label={tell(message('desk-target-secret', { address }))}
        value={secret}
        onFocus={({ currentTarget }) => currentTarget.select()}
      />
    </Dialog>
  );
}

const testedInWords = ({ delivered, error }: Tested): string =>
  delivered
    ? tell(message('desk-target-arrived'))
    : tell(message('desk-target-not-arrived', { why: error?.text ?? '' }));

function Row({
  target,
  onTested,
  onRotate,
  onRemove,
}: {
  target: Target;
  onTested: () => void;
  onRotate: () => void;
  onRemove: () => void;
}) {
  const { id, address, kind, enabled, disabledReason, failingReason } = target;
  const tested = useSignal<Tested | null>(null);
  const { problem, isBusy, act } = useActing();
  const test = (): Promise<void> =>
    act(async () => {
      tested.value = (await service().post('/v1/reminder-targets/{id}/test', { path: { id } })).data;
      onTested();
    });
  const trouble = disabledReason ?? failingReason;
  return (
    <li class="target">
      <strong>{address}</strong>{' '}
      {tell(message(kind === 'email' ? 'desk-target-email' : 'desk-target-webhook'))}
      {!enabled && <> · {tell(message('desk-target-off'))}</>}
      {trouble !== null && <p class="fault">{trouble.text}</p>}
      <p class="ways">
        <button type="button" class="plain" disabled={isBusy} onClick={() => void test()}>
          {tell(message('desk-target-test', { address }))}
        </button>
        {kind === 'webhook' && (
          <button type="button" class="plain" onClick={onRotate}>
            {tell(message('desk-target-rotate', { address }))}
          </button>
        )}
        <button type="button" class="plain" onClick={onRemove}>
          {tell(message('desk-target-remove', { address }))}
        </button>
      </p>
      <p role="status">{tested.value !== null && testedInWords(tested.value)}</p>
      {problem.value !== null && <Fault problem={problem.value} />}
    </li>
  );
}

type Asked = { target: Target; to: 'rotate' | 'remove' };

/** Asks before a target gets another secret or is removed. */
function Asking({
  asked: { target, to },
  onSecret,
  onClose,
}: {
  asked: Asked;
  onSecret: (secret: string) => void;
  onClose: () => void;
}) {
  const { id, address } = target;
  const yes = async (): Promise<void> => {
    if (to === 'remove') await service().delete('/v1/reminder-targets/{id}', { path: { id } });
    else {
      const request = { path: { id }, body: {} };
      const { data } = await service().post('/v1/reminder-targets/{id}/rotate-secret', request);
      if (data.secret !== null) onSecret(data.secret);
    }
    onClose();
  };
  return (
    <Ask
      title={tell(message(`desk-target-${to}`, { address }))}
      what={[tell(message(`desk-target-${to}-what`))]}
      way={tell(message(`desk-target-${to}-now`))}
      onYes={yes}
      onClose={onClose}
    />
  );
}

function List({
  targets,
  onTested,
  onAsk,
}: {
  targets: readonly Target[];
  onTested: () => void;
  onAsk: (asked: Asked) => void;
}) {
  return (
    <ul>
      {targets.map((target) => (
        <Row
          key={target.id}
          target={target}
          onTested={onTested}
          onRotate={() => onAsk({ target, to: 'rotate' })}
          onRemove={() => onAsk({ target, to: 'remove' })}
        />
      ))}
    </ul>
  );
}

/** Who hears what comes due: added, tested, removed, and given another secret. */
export function Targets({ onChanged }: { onChanged?: () => void }) {
  const secret = useSignal<{ address: string; secret: string } | null>(null);
  const asked = useSignal<Asked | null>(null);
  const { state, reload } = useLoaded(
    async (client, signal) =>
      (await client.get('/v1/reminder-targets', { query: { limit: String(MOST) }, signal })).data.items,
    [],
  );
  const changed = (): void => {
    reload();
    onChanged?.();
  };
  return (
    <>
      <Shown state={state} again={reload}>
        {(targets) => (
          <List targets={targets} onTested={() => onChanged?.()} onAsk={(one) => (asked.value = one)} />
        )}
      </Shown>
      <TargetForm
        onMade={(made) => {
          // The secret stays in view until somebody has copied it.
          if (made.secret === null) return changed();
          secret.value = { address: made.address, secret: made.secret };
          reload();
        }}
      />
      {asked.value !== null && (
        <Asking
          asked={asked.value}
          onSecret={(made) => (secret.value = { address: asked.value?.target.address ?? '', secret: made })}
          onClose={() => {
            asked.value = null;
            changed();
          }}
        />
      )}
      {secret.value !== null && (
        <Secret
          {...secret.value}
          onClose={() => {
            secret.value = null;
            changed();
          }}
        />
      )}
    </>
  );
}
