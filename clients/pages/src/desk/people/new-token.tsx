import { useSignal } from '@preact/signals';
import { Dialog } from '../../kit/parts/dialog.js';
import { Fault } from '../../kit/parts/fault.js';
import { Field, faultsOf } from '../../kit/parts/field.js';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import { message as kitMessage } from '../../kit/messages.js';
import { message } from './messages.js';
import { aboutRole, type Role, roleInWords, TOKEN_ROLES } from './roles.js';

interface Given {
  name: string;
  role: Role;
  /** Days from now; null for a token that does not expire. */
  expiresAt: string | null;
}

const DAY_MS = 86_400_000;
const USUAL_ROLE: Role = 'dashboard';

/** The end of the day that was typed, by this device's clock. */
const endOf = (day: string): string | null =>
  day === '' ? null : new Date(new Date(`${day}T00:00:00`).getTime() + DAY_MS).toISOString();

function Form({ problem, onGiven }: { problem: unknown; onGiven: (given: Given) => void }) {
  const name = useSignal('');
  const role = useSignal<Role>(USUAL_ROLE);
  const day = useSignal('');
  const problems = [problem];
  const submit = (event: Event): void => {
    event.preventDefault();
    onGiven({ name: name.value, role: role.value, expiresAt: endOf(day.value) });
  };
  const isOfField = ['/name', '/role', '/expiresAt'].some((one) => faultsOf(problems, one).length > 0);
  return (
    <form noValidate onSubmit={submit}>
      <Field label={tell(message('desk-token-of'))} faults={faultsOf(problems, '/name')}>
        {(about) => (
          <input
            {...about}
            autocomplete="off"
            value={name}
            onInput={(e) => (name.value = e.currentTarget.value)}
          />
        )}
      </Field>
      <Field label={tell(message('desk-token-role'))} faults={faultsOf(problems, '/role')}>
        {(about) => (
          <select
            {...about}
            value={role}
            onChange={({ currentTarget: { value } }) =>
              (role.value = TOKEN_ROLES.find((one) => one === value) ?? USUAL_ROLE)
            }
          >
            {TOKEN_ROLES.map((one) => (
              <option key={one} value={one}>
                {roleInWords(one)}
              </option>
            ))}
          </select>
        )}
      </Field>
      <p class="faint">{aboutRole(role.value)}</p>
      <Field label={tell(message('desk-token-expires-about'))} faults={faultsOf(problems, '/expiresAt')}>
        {(about) => (
          <input type="date" {...about} value={day} onInput={(e) => (day.value = e.currentTarget.value)} />
        )}
      </Field>
      {problem !== null && !isOfField && <Fault problem={problem} />}
      <button type="submit">{tell(message('desk-token-make-now'))}</button>
    </form>
  );
}

function Made({ token }: { token: string }) {
  const isCopied = useSignal(false);
  const copy = async (): Promise<void> => {
    await navigator.clipboard.writeText(token);
    isCopied.value = true;
  };
  return (
    <>
      <p>{tell(message('desk-token-once'))}</p>
      <label>
        <span>{tell(message('desk-token-new'))}</span>
        <input readOnly value={token} onFocus={({ currentTarget }) => currentTarget.select()} />
      </label>
      {window.isSecureContext && (
        <button type="button" onClick={() => void copy()}>
          {tell(message('desk-token-copy'))}
        </button>
      )}
      <p role="status">{isCopied.value && tell(message('desk-token-copied'))}</p>
    </>
  );
}

/** Asks what a token is for, and shows it once. */
export function NewToken({ onClose }: { onClose: () => void }) {
  const made = useSignal<string | null>(null);
  const problem = useSignal<unknown>(null);
  const make = async (given: Given): Promise<void> => {
    problem.value = null;
    try {
      made.value = (await service().post('/v1/tokens', { body: given })).data.token;
    } catch (refused) {
      problem.value = refused;
    }
  };
  return (
    <Dialog
      title={tell(message('desk-token-make'))}
      way={made.value === null ? undefined : tell(kitMessage('page-close'))}
      onClose={onClose}
    >
      {made.value === null ? (
        <Form problem={problem.value} onGiven={(given) => void make(given)} />
      ) : (
        <Made token={made.value} />
      )}
    </Dialog>
  );
}
