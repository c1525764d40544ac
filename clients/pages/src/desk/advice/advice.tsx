import { Route, Switch } from 'wouter-preact';
import { OnePart } from './one-part.js';
import { Overview } from './overview.js';
import './advice.css';

/** Which intervals the fleet's own failures suggest. */
export function AdviceView() {
  return (
    <Switch>
      <Route path="/advice/:component">
        {({ component }) => <OnePart key={component} component={component} />}
      </Route>
      <Route>
        <Overview />
      </Route>
    </Switch>
  );
}
