import { Route, Switch } from 'wouter-preact';
import { ReportList } from './list.js';
import { OneReport } from './one-report.js';
import './reports.css';

/** The job reports, and one of them. */
export function Reports() {
  return (
    <Switch>
      <Route path="/reports/:id">{({ id }) => <OneReport id={id} />}</Route>
      <Route>
        <ReportList />
      </Route>
    </Switch>
  );
}
