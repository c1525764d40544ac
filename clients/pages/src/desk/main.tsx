import { render } from 'preact';
import { Redirect, Route, Router, Switch } from 'wouter-preact';
import { Shell } from '../kit/parts/shell.js';
import { SignIn } from '../kit/parts/sign-in.js';
import { isSignedIn } from '../kit/service/session.js';
import { beginTelling, tell } from '../kit/texts/tell.js';
import { Due } from './due/due.js';
import { message as dueMessage } from './due/messages.js';
import { message } from './messages.js';
import '../kit/style.css';
import './style.css';

function Desk() {
  const views = [{ path: '/due', name: tell(dueMessage('desk-due')) }];
  return (
    <Router base="/desk">
      <Shell views={views}>
        {isSignedIn() ? (
          <Switch>
            <Route path="/due" component={Due} />
            <Route path="/">
              <Redirect to="/due" replace />
            </Route>
            <Route>
              <p>{tell(message('desk-no-such-view'))}</p>
            </Route>
          </Switch>
        ) : (
          <SignIn />
        )}
      </Shell>
    </Router>
  );
}

await beginTelling({ en: () => import('texts:desk/en'), es: () => import('texts:desk/es') });
const page = document.getElementById('page');
if (page !== null) {
  page.replaceChildren();
  render(<Desk />, page);
}
