import { signal } from '@preact/signals';
import { render } from 'preact';
import { Fault } from '../kit/parts/fault.js';
import { Shell } from '../kit/parts/shell.js';
import { SignIn } from '../kit/parts/sign-in.js';
import { returnOf } from '../kit/service/provider.js';
import { forgetSession, service, signIn } from '../kit/service/session.js';
import { beginTelling, tell } from '../kit/texts/tell.js';
import { message } from './messages.js';
import '../kit/style.css';

/** Roles whose work is on the phone; all others begin at the desk. */
const ON_THE_PHONE: ReadonlySet<string> = new Set(['mechanic', 'driver']);

const fault = signal<unknown>(null);
const isGoingOn = signal(false);
/** Why nobody was signed in by the provider. */
const said = signal<'refused' | 'not-asked-for' | null>(null);

/** Opens the page that fits whoever has signed in. */
async function goOn(): Promise<void> {
  isGoingOn.value = true;
  const { data: me } = await service().get('/v1/me');
  location.replace(ON_THE_PHONE.has(me.role) ? '/phone' : '/desk');
}

/** Signs in with what the browser brought along. It works once, whatever comes of it. */
async function redeem(given: Parameters<typeof signIn>[0]): Promise<void> {
  isGoingOn.value = true;
  try {
    forgetSession();
    await signIn(given);
    await goOn();
  } catch (problem) {
    isGoingOn.value = false;
    fault.value = problem;
  }
}

/** Redeems the code of a link, or that of the provider; neither is kept in the browser's history. */
function redeemAddress(): void {
  const code = location.hash.slice(1);
  if (code !== '') {
    history.replaceState(null, '', location.pathname);
    void redeem({ code });
    return;
  }
  const back = returnOf(new URLSearchParams(location.search));
  if (back.is === 'code') void redeem({ provider: back.given });
  else if (back.is !== 'nothing') said.value = back.is;
}

function Page() {
  return (
    <Shell views={[]}>
      {isGoingOn.value && <p role="status">{tell(message('sign-in-going-on'))}</p>}
      {fault.value !== null && <Fault problem={fault.value} />}
      {said.value !== null && (
        <p class="fault" role="alert">
          {tell(message(`sign-in-provider-${said.value}`))}
        </p>
      )}
      {!isGoingOn.value && (
        <SignIn about={tell(message('sign-in-by-token'))} onSignedIn={() => void goOn()} />
      )}
    </Shell>
  );
}

await beginTelling({ en: () => import('texts:sign-in/en'), es: () => import('texts:sign-in/es') });
redeemAddress();
const page = document.getElementById('page');
if (page !== null) {
  page.replaceChildren();
  render(<Page />, page);
}
