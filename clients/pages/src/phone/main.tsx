import { effect, useSignal } from '@preact/signals';
import { render } from 'preact';
import { useEffect } from 'preact/hooks';
import { Redirect, Route, Router, Switch } from 'wouter-preact';
import { Fault } from '../kit/parts/fault.js';
import { SignIn } from '../kit/parts/sign-in.js';
import { isSignedIn } from '../kit/service/session.js';
import { beginTelling, tell } from '../kit/texts/tell.js';
import { beginSending, sendNow } from './outbox/outbox.js';
import { meet, resume, who } from './signed-in/who.js';
import { MyDay } from './views/day.js';
import { Outbox } from './views/outbox.js';
import { Frame } from './views/parts/frame.js';
import { QuickLevel, QuickTopUp } from './views/quick.js';
import { Report } from './views/report.js';
import { Labelled, Scan } from './views/scan.js';
import { Sent } from './views/sent.js';
import { Vehicle } from './views/vehicle.js';
import { message } from './words/messages.js';
import '../kit/style.css';
import './style.css';

/** Finds out who signed in, then goes on. */
function Meeting() {
  const fault = useSignal<unknown>(null);
  const begin = (): void => {
    fault.value = null;
    meet().then(sendNow, (problem: unknown) => (fault.value = problem));
  };
  useEffect(begin, []);
  return fault.value === null ? <p role="status">…</p> : <Fault problem={fault.value} again={begin} />;
}

function SigningIn() {
  return isSignedIn() ? <Meeting /> : <SignIn about={tell(message('phone-about-token'))} />;
}

function Views() {
  if (who.value === null) return <SigningIn />;
  return (
    <Switch>
      <Route path="/" component={MyDay} />
      <Route path="/v/:id" component={Vehicle} />
      <Route path="/v/:id/report" component={Report} />
      <Route path="/v/:id/level" component={QuickLevel} />
      <Route path="/v/:id/top-up" component={QuickTopUp} />
      <Route path="/scan" component={Scan} />
      <Route path="/l/:code" component={Labelled} />
      <Route path="/sent/:id" component={Sent} />
      <Route path="/outbox" component={Outbox} />
      <Route path="/sign-in">
        {isSignedIn() ? <Redirect to="/" replace /> : <SignIn about={tell(message('phone-about-token'))} />}
      </Route>
      <Route>
        <p>{tell(message('phone-no-such-view'))}</p>
      </Route>
    </Switch>
  );
}

function Phone() {
  return (
    <Router base="/phone">
      <Frame>
        <Views />
      </Frame>
    </Router>
  );
}

await beginTelling({ en: () => import('texts:phone/en'), es: () => import('texts:phone/es') });
resume();
const page = document.getElementById('page');
if (page !== null) {
  page.replaceChildren();
  render(<Phone />, page);
}
// Whoever signs in again may be somebody else.
let wasSignedIn = isSignedIn();
effect(() => {
  const isNow = isSignedIn();
  if (isNow && !wasSignedIn && who.peek() !== null) void meet().then(sendNow, () => undefined);
  wasSignedIn = isNow;
});
void beginSending();
if ('serviceWorker' in navigator)
  // Without it, the page works as long as there is a network.
  navigator.serviceWorker
    .register('/pages/phone-worker.js', { scope: '/phone' })
    .catch((why: unknown) => console.warn(why));
