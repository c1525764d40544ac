import { Link, Redirect, Route, Switch } from 'wouter-preact';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useMe } from '../../kit/service/me.js';
import { tell } from '../../kit/texts/tell.js';
import { AuditView } from './audit/audit.js';
import { message as auditMessage } from './audit/messages.js';
import { Depots } from './depots.js';
import { FleetSettings } from './fleet/fleet-settings.js';
import { message as fleetMessage } from './fleet/messages.js';
import { KeptPage } from './kept/kept-page.js';
import { type Kind, PLANS, SHEETS } from './kept/kinds.js';
import { message as keptMessage } from './kept/messages.js';
import { NewKept } from './kept/new-kept.js';
import { message } from './messages.js';
import { ReadyMade } from './ready-made.js';
import { Targets } from './targets.js';
import './settings.css';

/** What the fleet decides once: depots, sheets and plans, and who hears what comes due. */
export function Settings() {
  return (
    <Switch>
      <Route path="/settings" component={Overview} />
      <Route path="/settings/fleet" component={FleetSettings} />
      <Route path="/settings/audit" component={AuditView} />
      {[SHEETS, PLANS].map((kind) => (
        <Route key={kind.what} path={`${kind.address}/:id`}>
          {({ id }) => <OneKept key={`${kind.what}${id}`} {...{ id, kind }} />}
        </Route>
      ))}
      <Route>
        <Redirect to="/settings" replace />
      </Route>
    </Switch>
  );
}

/** `new` stands for one that is to be added. */
const OneKept = ({ id, kind }: { id: string; kind: Kind }) =>
  id === 'new' ? <NewKept kind={kind} /> : <KeptPage {...{ id, kind }} />;

function Overview() {
  const me = useMe();
  return (
    <div class="settings-view">
      <Heading>{tell(message('desk-settings'))}</Heading>
      <nav aria-label={tell(message('desk-settings-more'))}>
        <ul>
          <li>
            <Link href="/settings/fleet">{tell(fleetMessage('desk-fleet'))}</Link>
          </li>
          <li>
            <Link href="/settings/audit">{tell(auditMessage('desk-audit'))}</Link>
          </li>
        </ul>
      </nav>
      <p>
        {tell(message('desk-settings-steps'))}{' '}
        <Link href="/first-steps">{tell(message('desk-settings-to-steps'))}</Link>
      </p>
      <Shown state={me.state} again={me.reload}>
        {({ timeZone, units }) => (
          <>
            <Depots units={units} />
            <section aria-labelledby="kept">
              <h2 id="kept">{tell(message('desk-kept'))}</h2>
              <p>{tell(message('desk-kept-about'))}</p>
              <p class="ways">
                {[SHEETS, PLANS].map(({ what, address }) => (
                  <Link key={what} class="button" href={`${address}/new`}>
                    {tell(keptMessage('desk-kept-add', { what }))}
                  </Link>
                ))}
              </p>
              <ReadyMade timeZone={timeZone} isAll />
            </section>
            <section aria-labelledby="targets">
              <h2 id="targets">{tell(message('desk-targets'))}</h2>
              <p>{tell(message('desk-targets-about'))}</p>
              <Targets />
            </section>
          </>
        )}
      </Shown>
    </div>
  );
}
