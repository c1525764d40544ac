import { render } from 'preact';
import { useEffect } from 'preact/hooks';
import { Redirect, Route, Router, Switch } from 'wouter-preact';
import { Shown } from '../kit/parts/loading.js';
import { Shell } from '../kit/parts/shell.js';
import { SignIn } from '../kit/parts/sign-in.js';
import { useLoaded } from '../kit/service/loaded.js';
import { isOneOf, mayManage, meet, whoIs } from '../kit/service/me.js';
import { isSignedIn } from '../kit/service/session.js';
import { beginTelling, tell } from '../kit/texts/tell.js';
import { openSteps } from './first-steps/open-steps.js';
import { StepsLine } from './first-steps/steps-line.js';
import { message } from './messages.js';
import { NotForRole, NoView } from './not-for-role.js';
import { type DeskView, rolesOf, VIEWS } from './views.js';
import '../kit/style.css';
import './style.css';

/** A view for those who may open it; for others, who may. */
const guarded = (view: DeskView) => {
  const { component: View, name } = view;
  return () => (isOneOf(rolesOf(view)) ? <View /> : <NotForRole name={tell(name)} />);
};

const ROUTES = VIEWS.map((view) => ({ path: view.path, component: guarded(view) }));

function Views() {
  const [first] = VIEWS.filter((view) => isOneOf(rolesOf(view)));
  if (first === undefined) return <NoView />;
  return (
    <>
      {mayManage() && <Route path={`${VIEWS[0].path}/*?`} component={StepsLine} />}
      <Switch>
        {ROUTES.map(({ path, component }) => (
          <Route key={path} path={`${path}/*?`} component={component} />
        ))}
        <Route path="/">
          <Redirect to={first.path} replace />
        </Route>
        <Route>
          <p>{tell(message('desk-no-such-view'))}</p>
        </Route>
      </Switch>
    </>
  );
}

/** The views, once it is known who is signed in. */
function SignedIn() {
  const { state, reload } = useLoaded(meet, []);
  useEffect(() => () => void (whoIs.value = null), []);
  return (
    <Shown state={state} again={reload}>
      {() => <Views />}
    </Shown>
  );
}

function Desk() {
  const hasOpenSteps = (openSteps.value ?? 0) > 0;
  const views = VIEWS.filter((view) => isOneOf(rolesOf(view)))
    .filter(({ isForNewFleets }) => hasOpenSteps || isForNewFleets !== true)
    .map(({ path, name }) => ({ path, name: tell(name) }));
  return (
    <Router base="/desk">
      <Shell views={views}>{isSignedIn() ? <SignedIn /> : <SignIn />}</Shell>
    </Router>
  );
}

await beginTelling({ en: () => import('texts:desk/en'), es: () => import('texts:desk/es') });
const page = document.getElementById('page');
if (page !== null) {
  page.replaceChildren();
  render(<Desk />, page);
}
