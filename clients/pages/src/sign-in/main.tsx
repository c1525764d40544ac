import { signal } from '@preact/signals';
import { render } from 'preact';
import { Fault } from '../kit/parts/fault.js';
import { Shell } from '../kit/parts/shell.js';
import { SignIn } from '../kit/parts/sign-in.js';
import { forgetSession, service, signIn } from '../kit/service/session.js';
import { beginTelling, tell } from '../kit/texts/tell.js';
import { message } from './messages.js';
import '../kit/style.css';

/** Roles whose work is on the phone; all others begin at the desk. */
const ON_THE_PHONE: ReadonlySet<string> = new Set(['mechanic', 'driver']);

const fault = signal<unknown>(null);
const isGoingOn = signal(false);

/** Opens the page that fits whoever has signed in. */
async function goOn(): Promise<void> {
  isGoingOn.value = true;
  const { data: me } = await service().get('/v1/me');
  location.replace(ON_THE_PHONE.has(me.role) ? '/phone' : '/desk');
}

/** Redeems the code of a link. It works once, and is not kept in the browser's history. */
async function redeem(code: string): Promise<void> {
  history.replaceState(null, '', location.pathname);
  isGoingOn.value = true;
  try {
    forgetSession();
    await signIn({ code });
    await goOn();
  } catch (problem) {
    isGoingOn.value = false;
    fault.value = problem;
  }
}

function Page() {
  return (
    <Shell views={[]}>
      {isGoingOn.value && <p role="status">{tell(message('sign-in-going-on'))}</p>}
      {fault.value !== null && <Fault problem={fault.value} />}
      {!isGoingOn.value && (
        <SignIn about={tell(message('sign-in-by-token'))} onSignedIn={() => void goOn()} />
      )}
    </Shell>
  );
}

await beginTelling({ en: () => import('texts:sign-in/en'), es: () => import('texts:sign-in/es') });
const code = location.hash.slice(1);
if (code !== '') void redeem(code);
const page = document.getElementById('page');
if (page !== null) {
  page.replaceChildren();
  render(<Page />, page);
}
