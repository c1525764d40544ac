import { ProblemError, WeepholeClient } from '../../typescript/src/client.js';
import { el } from './dom.js';
import type { Fleet } from './types.js';

/** Ends with the tab, and no other site sees it. */
const KEPT_AS = 'weephole-token';

export interface SignedIn {
  token: string;
  client: WeepholeClient;
  fleet: Fleet;
}

export const keptToken = (): string | null => sessionStorage.getItem(KEPT_AS);
export const forgetToken = (): void => sessionStorage.removeItem(KEPT_AS);

/**
 * Tries a token out, and keeps it for this tab where it is accepted. @throws ProblemError or
 * NoAnswerError where it is not
 */
export async function signInWith(token: string): Promise<SignedIn> {
  const client = new WeepholeClient({ baseUrl: location.origin, token });
  const { data: fleet } = await client.get('/v1/fleet');
  sessionStorage.setItem(KEPT_AS, token);
  return { token, client, fleet };
}

/** What went wrong with a sign-in, for whoever typed the token. */
export const faultOfSignIn = (fault: unknown): string =>
  fault instanceof ProblemError
    ? fault.problem.detail
    : fault instanceof Error
      ? fault.message
      : String(fault);

/** Asks for a token. */
export function signInForm(complaint: string, signedIn: (session: SignedIn) => void): HTMLElement {
  const field = el('input', {
    ...{ type: 'password', id: 'token', autocomplete: 'off', spellcheck: 'false', required: true },
    'aria-describedby': 'about-token sign-in-fault',
  });
  const fault = el('p', { id: 'sign-in-fault', role: 'alert' }, complaint);
  const button = el('button', { type: 'submit' }, 'Sign in');
  const form = el(
    'form',
    { class: 'sign-in', 'aria-labelledby': 'sign-in-heading' },
    el('h1', { id: 'sign-in-heading', tabindex: -1 }, 'Sign in'),
    el('label', { for: 'token' }, 'Token'),
    field,
    el(
      'p',
      { id: 'about-token' },
      'A token of your fleet, for a dashboard, a mechanic or a manager. It is kept until this tab is closed or you sign out.',
    ),
    fault,
    button,
  );
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    void submit();
  });
  async function submit(): Promise<void> {
    const token = field.value.trim();
    fault.textContent = '';
    // A header takes no other characters, and a browser would say so in its own words.
    if (!/^[\x21-\x7e]+$/.test(token)) {
      fault.textContent = 'A token has neither blanks nor letters with accents in it.';
      return field.focus();
    }
    button.disabled = true;
    try {
      signedIn(await signInWith(token));
    } catch (cause) {
      fault.textContent = faultOfSignIn(cause);
      field.focus();
    } finally {
      button.disabled = false;
    }
  }
  return form;
}
