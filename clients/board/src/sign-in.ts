import { WeepholeClient } from '../../typescript/src/client.js';
import { el } from './dom.js';
import { currentLanguage, tell } from './language.js';
import { isUndecided, turnTo } from './page-language.js';
import type { Fleet } from './types.js';
import { faultInWords } from './view.js';

/** Ends with the tab, and no other site sees it. */
const KEPT_AS = 'weephole-token';

export interface SignedIn {
  token: string;
  client: WeepholeClient;
  fleet: Fleet;
}

export const keptToken = (): string | null => sessionStorage.getItem(KEPT_AS);
export const forgetToken = (): void => sessionStorage.removeItem(KEPT_AS);

const clientOf = (token: string, language: string): WeepholeClient =>
  new WeepholeClient({ baseUrl: location.origin, token, language });

/**
 * Tries a token out, and keeps it for this tab where it is accepted. Where nobody asked for a
 * language, the service answers in that of the token or the fleet, and the page turns to it.
 *
 * @throws ProblemError or NoAnswerError where it is not accepted
 */
export async function signInWith(token: string): Promise<SignedIn> {
  const asked = isUndecided() ? '*' : currentLanguage();
  const { data: fleet, headers } = await clientOf(token, asked).get('/v1/fleet');
  if (isUndecided()) await turnTo(headers.get('content-language') ?? currentLanguage());
  sessionStorage.setItem(KEPT_AS, token);
  return { token, client: clientOf(token, currentLanguage()), fleet };
}

/** Asks for a token. */
export function signInForm(complaint: string, signedIn: (session: SignedIn) => void): HTMLElement {
  const field = el('input', {
    ...{ type: 'password', id: 'token', autocomplete: 'off', spellcheck: 'false', required: true },
    'aria-describedby': 'about-token sign-in-fault',
  });
  const fault = el('p', { id: 'sign-in-fault', role: 'alert' }, complaint);
  const button = el('button', { type: 'submit' }, tell('board-sign-in'));
  const form = el(
    'form',
    { class: 'sign-in', 'aria-labelledby': 'sign-in-heading' },
    el('h1', { id: 'sign-in-heading', tabindex: -1 }, tell('board-sign-in')),
    el('label', { for: 'token' }, tell('board-token')),
    field,
    el('p', { id: 'about-token' }, tell('board-about-token')),
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
      fault.textContent = tell('board-token-malformed');
      return field.focus();
    }
    button.disabled = true;
    try {
      signedIn(await signInWith(token));
    } catch (cause) {
      fault.textContent = faultInWords(cause);
      field.focus();
    } finally {
      button.disabled = false;
    }
  }
  return form;
}
