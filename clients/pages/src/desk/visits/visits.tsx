import { useSignal } from '@preact/signals';
import { Link, Route, Switch, useSearchParams } from 'wouter-preact';
import { addDays } from '../../../../../src/domain/calendar/civil-date.js';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { mayManage, useMe } from '../../kit/service/me.js';
import { tell } from '../../kit/texts/tell.js';
import { NotForRole } from '../not-for-role.js';
import { type Booked, BookedDialog } from './booked.js';
import { message } from './messages.js';
import { OnePlan } from './plan.js';
import { PlanForm } from './plan-form.js';
import { type Depot, Week } from './week.js';
import { mondayOf, mondays, todayIn } from './weeks.js';
import './visits.css';

const WEEKS = 4;
const DATE = /^\d{4}-\d{2}-\d{2}$/;
const MOST = '200';

function BookedVisit({ visit, onOpen }: { visit: Booked; onOpen: () => void }) {
  const { vehicle, hours, missed, assignedTo } = visit;
  return (
    <button type="button" onClick={onOpen}>
      {tell(message('desk-visit', { unit: vehicle.unitNumber, hours: Math.round(hours * 10) / 10 }))}
      <span class="mark">
        {assignedTo === null
          ? tell(message('desk-visit-nobody'))
          : tell(message('desk-visit-for', { name: assignedTo.name }))}
      </span>
      {missed && <strong>{tell(message('desk-visit-missed'))}</strong>}
    </button>
  );
}

/** The picking list of a day is a page of its own, to be printed. */
const PickList = ({ depotId, day }: { depotId: string; day: string }) => (
  <a href={`/v1/pick-list?depotId=${depotId}&on=${day}&format=html`}>
    {tell(message('desk-visits-pick-list'))}
  </a>
);

/** The ways to a plan, and to other weeks. */
const Ways = ({ from, onPlan }: { from: string; onPlan: () => void }) => (
  <p class="ways">
    {mayManage() && (
      <button type="button" onClick={onPlan}>
        {tell(message('desk-plan-make'))}
      </button>
    )}
    <Link href={`/visits?from=${addDays(from, -WEEKS * 7)}`}>{tell(message('desk-visits-earlier'))}</Link>
    <Link href={`/visits?from=${addDays(from, WEEKS * 7)}`}>{tell(message('desk-visits-later'))}</Link>
  </p>
);

function Weeks({
  from,
  to,
  depots,
  visits,
  onOpen,
}: {
  from: string;
  to: string;
  depots: readonly Depot[];
  visits: readonly Booked[];
  onOpen: (visit: Booked) => void;
}) {
  return (
    <>
      {mondays(from, to).map((monday) => (
        <Week
          key={monday}
          {...{ monday, depots, visits }}
          show={(visit) => <BookedVisit visit={visit} onOpen={() => onOpen(visit)} />}
          under={(depotId, day) => <PickList {...{ depotId, day }} />}
        />
      ))}
    </>
  );
}

function Calendar({ depots, today }: { depots: readonly Depot[]; today: string }) {
  const [asked] = useSearchParams();
  const given = asked.get('from') ?? '';
  const from = mondayOf(DATE.test(given) ? given : today);
  const to = addDays(from, WEEKS * 7 - 1);
  const opened = useSignal<Booked | null>(null);
  const isPlanning = useSignal(false);
  const { state, reload } = useLoaded(
    async (client, signal) => {
      const query = { from, to, limit: MOST };
      const [visits, people] = await Promise.all([
        client.get('/v1/visits', { query, signal }),
        mayManage() ? client.get('/v1/people', { query: { limit: MOST }, signal }) : null,
      ]);
      return { visits: visits.data, people: people?.data.items ?? [] };
    },
    [from, to],
  );
  const done = (): void => {
    opened.value = null;
    reload();
  };
  return (
    <>
      <Heading>{tell(message('desk-visits'))}</Heading>
      <p>{tell(message('desk-visits-about'))}</p>
      <Ways {...{ from }} onPlan={() => (isPlanning.value = true)} />
      <Shown state={state} again={reload}>
        {({ visits: { items, next }, people }) => (
          <>
            {items.length === 0 && <p>{tell(message('desk-visits-none'))}</p>}
            {next !== null && <p>{tell(message('desk-visits-more'))}</p>}
            <Weeks {...{ from, to, depots, visits: items }} onOpen={(visit) => (opened.value = visit)} />
            {opened.value && (
              <BookedDialog
                {...{ people, visit: opened.value }}
                onClose={() => (opened.value = null)}
                onDone={done}
              />
            )}
          </>
        )}
      </Shown>
      {isPlanning.value && <PlanForm today={today} onClose={() => (isPlanning.value = false)} />}
    </>
  );
}

/** Booked visits in a calendar, and plans for more. */
export function Visits() {
  const me = useMe();
  const depots = useLoaded(
    async (client, signal) => (await client.get('/v1/depots', { query: { limit: MOST }, signal })).data.items,
    [],
  );
  const timeZone = me.state.value.value?.timeZone;
  return (
    <div class="visits-view">
      <Shown state={depots.state} again={depots.reload}>
        {(known) => (
          <Switch>
            <Route path="/visits/plans/:id">
              {({ id }) =>
                mayManage() ? (
                  <OnePlan key={id} id={id} depots={known} />
                ) : (
                  <NotForRole name={tell(message('desk-visits'))} />
                )
              }
            </Route>
            <Route>{timeZone !== undefined && <Calendar depots={known} today={todayIn(timeZone)} />}</Route>
          </Switch>
        )}
      </Shown>
    </div>
  );
}
