import { useSignal } from '@preact/signals';
import { ProblemError } from '../../../../typescript/src/faults.js';
import { message } from '../messages.js';
import { isOver, signIn } from '../service/session.js';
import { tell } from '../texts/tell.js';
import { Fault } from './fault.js';
import { ProviderButton } from './provider-button.js';
import { Heading } from './shell.js';

/**
 * Asks for a token, and signs this browser in with it.
 *
 * @param about how long that lasts
 */
export function SignIn({ about, onSignedIn }: { about?: string; onSignedIn?: () => void }) {
  const token = useSignal('');
  const fault = useSignal<unknown>(null);
  const attempt = async (event: Event): Promise<void> => {
    event.preventDefault();
    try {
      await signIn({ token: token.value.trim() });
      onSignedIn?.();
    } catch (problem) {
      fault.value = problem;
    }
  };
  const isRefused = fault.value instanceof ProblemError && fault.value.status === 401;
  return (
    <form class="sign-in" onSubmit={(event) => void attempt(event)}>
      <Heading>{tell(message('page-sign-in'))}</Heading>
      {isOver() && fault.value === null && (
        <p class="fault" role="alert">
          {tell(message('page-sign-in-over'))}
        </p>
      )}
      <ProviderButton />
      <label>
        <span>{tell(message('page-token'))}</span>
        <input
          type="password"
          autocomplete="off"
          spellcheck={false}
          required
          aria-describedby="about-token"
          aria-invalid={isRefused}
          value={token}
          onInput={({ currentTarget }) => (token.value = currentTarget.value)}
        />
      </label>
      <p id="about-token" class="faint">
        {about ?? tell(message('page-about-token'))}
      </p>
      {isRefused && (
        <p class="fault" role="alert">
          {tell(message('page-token-refused'))}
        </p>
      )}
      {fault.value !== null && !isRefused && <Fault problem={fault.value} />}
      <button type="submit">{tell(message('page-sign-in'))}</button>
    </form>
  );
}
