import { render } from 'preact';
import { Redirect, Route, Router, Switch } from 'wouter-preact';
import { Shell } from '../kit/parts/shell.js';
import { SignIn } from '../kit/parts/sign-in.js';
import { isSignedIn } from '../kit/service/session.js';
import { beginTelling, tell } from '../kit/texts/tell.js';
import { openSteps } from './first-steps/open-steps.js';
import { StepsLine } from './first-steps/steps-line.js';
import { message } from './messages.js';
import { VIEWS } from './views.js';
import '../kit/style.css';
import './style.css';

function Desk() {
  const hasOpenSteps = (openSteps.value ?? 0) > 0;
  const views = VIEWS.filter(({ isForNewFleets }) => hasOpenSteps || isForNewFleets !== true).map(
    ({ path, name }) => ({ path, name: tell(name) }),
  );
  return (
    <Router base="/desk">
      <Shell views={views}>
        {isSignedIn() ? (
          <>
            <Route path={`${VIEWS[0].path}/*?`} component={StepsLine} />
            <Switch>
              {VIEWS.map(({ path, component }) => (
                <Route key={path} path={`${path}/*?`} component={component} />
              ))}
              <Route path="/">
                <Redirect to={VIEWS[0].path} replace />
              </Route>
              <Route>
                <p>{tell(message('desk-no-such-view'))}</p>
              </Route>
            </Switch>
          </>
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
