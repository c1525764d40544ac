import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { Link, useLocation } from 'wouter-preact';
import type { components } from '../../../../typescript/src/client.js';
import { workInWords } from '../../kit/due/due-line.js';
import { Dialog } from '../../kit/parts/dialog.js';
import { Fault } from '../../kit/parts/fault.js';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { service } from '../../kit/service/session.js';
import { dayInWords } from '../../kit/texts/dates.js';
import { locale, tell } from '../../kit/texts/tell.js';
import { useActing } from './acting.js';
import { Basis } from './booked.js';
import { message } from './messages.js';
import { type Planned, type PlannedChange, PlannedDialog } from './planned-dialog.js';
import { type Depot, Week } from './week.js';
import { mondays } from './weeks.js';

type Plan = components['schemas']['VisitPlanView'];

const LOOK_AGAIN_MS = 1000;
const isUnderWay = ({ state }: Plan): boolean => state === 'waiting' || state === 'solving';

/** What the plan costs, and how much a better one could still save. */
function Cost({ plan: { cost, costOnDueDays, gap, changedSinceSolved } }: { plan: Plan }) {
  if (!cost) return null;
  const whole = Math.round;
  const { labour, downtime, lifeThrownAway, lateness } = cost;
  const parts = {
    ...{ labour: whole(labour), downtime: whole(downtime) },
    ...{ early: whole(lifeThrownAway), late: whole(lateness) },
  };
  const percent = new Intl.NumberFormat(locale(), { maximumFractionDigits: 1 }).format(
    Math.ceil((gap ?? 0) * 1000) / 10,
  );
  return (
    <div class="plan-cost">
      <p>
        {tell(
          message('desk-plan-cost', { total: whole(cost.total), alone: whole(costOnDueDays?.total ?? 0) }),
        )}
      </p>
      <p>{tell(message('desk-plan-cost-parts', parts))}</p>
      <p>
        {changedSinceSolved
          ? tell(message('desk-plan-changed'))
          : gap == null
            ? tell(message('desk-plan-gap-unknown'))
            : tell(message('desk-plan-gap', { percent }))}
      </p>
    </div>
  );
}

/** Says what booking does before it is done. */
function Confirm({ plan, onClose }: { plan: Plan; onClose: () => void }) {
  const [, go] = useLocation();
  const { problem, act } = useActing();
  const count = plan.visits.filter(({ dropped }) => !dropped).length;
  const confirm = (): Promise<void> =>
    act(async () => {
      await service().post('/v1/visit-plans/{id}/confirm', { path: { id: plan.id } });
      go(`/visits?from=${plan.from}`);
    });
  return (
    <Dialog title={tell(message('desk-plan-confirm'))} onClose={onClose}>
      <p>{tell(message('desk-plan-confirm-what', { count }))}</p>
      <p>{tell(message('desk-plan-confirm-undo'))}</p>
      <Basis lines={plan.visits.flatMap(({ lines, dropped }) => (dropped ? [] : lines))} />
      {problem.value !== null && <Fault problem={problem.value} />}
      <button type="button" onClick={() => void confirm()}>
        {tell(message('desk-plan-confirm-now'))}
      </button>
    </Dialog>
  );
}

/** A proposed visit in the calendar. Words say whether it is pinned or dropped. */
function Proposed({ visit, onOpen }: { visit: Planned; onOpen: () => void }) {
  const { vehicle, hours, pinned, dropped } = visit;
  return (
    <button type="button" class={dropped ? 'dropped' : undefined} onClick={onOpen}>
      {tell(message('desk-visit', { unit: vehicle.unitNumber, hours: Math.round(hours * 10) / 10 }))}
      {pinned && <span class="mark">{tell(message('desk-plan-pinned'))}</span>}
      {dropped && <span class="mark">{tell(message('desk-plan-dropped'))}</span>}
    </button>
  );
}

const Left = ({ plan: { leftForLater } }: { plan: Plan }) =>
  leftForLater.length === 0 ? null : (
    <section>
      <h2>{tell(message('desk-plan-left'))}</h2>
      <ul class="dots">
        {leftForLater.map((line) => (
          <li key={line.dueLineId}>
            {tell(
              message('desk-plan-left-line', {
                ...{ unit: line.vehicle.unitNumber, work: workInWords(line), why: line.reason.text },
              }),
            )}
          </li>
        ))}
      </ul>
    </section>
  );

/** What can be done with a plan that is worked out. */
function Ways({ plan, onConfirm, onSolve }: { plan: Plan; onConfirm: () => void; onSolve: () => void }) {
  if (plan.state === 'confirmed') return <p>{tell(message('desk-plan-confirmed'))}</p>;
  return (
    <p class="ways">
      <button type="button" onClick={onConfirm}>
        {tell(message('desk-plan-confirm'))}
      </button>
      <button type="button" onClick={onSolve}>
        {tell(message('desk-plan-solve'))}
      </button>
    </p>
  );
}

function Solved({ plan, depots, reload }: { plan: Plan; depots: readonly Depot[]; reload: () => void }) {
  const opened = useSignal<string | null>(null);
  const isConfirming = useSignal(false);
  const said = useSignal('');
  const { problem, act } = useActing();
  const isOpen = plan.state === 'solved';
  const change = async (visit: Planned, patch: PlannedChange): Promise<void> => {
    const path = { id: plan.id, visitId: visit.id };
    await service().patch('/v1/visit-plans/{id}/visits/{visitId}', { path, body: patch });
    if ('day' in patch) {
      const moved = { unit: visit.vehicle.unitNumber, on: dayInWords(patch.day) };
      said.value = tell(message('desk-plan-moved', moved));
    }
    opened.value = null;
    reload();
  };
  const move = (id: string, day: string): void => {
    const visit = plan.visits.find((one) => one.id === id);
    if (visit && visit.day !== day) void act(() => change(visit, { day }));
  };
  const solve = (): void =>
    void act(async () => {
      await service().post('/v1/visit-plans/{id}/solve', { path: { id: plan.id } });
      reload();
    });
  const shown = plan.visits.find(({ id }) => id === opened.value);
  return (
    <>
      {plan.problem && <p class="fault">{plan.problem.text}</p>}
      <Cost plan={plan} />
      <Ways {...{ plan }} onConfirm={() => (isConfirming.value = true)} onSolve={solve} />
      {isOpen && <p class="faint">{tell(message('desk-plan-how'))}</p>}
      <p role="status">{said}</p>
      {problem.value !== null && <Fault problem={problem.value} />}
      {mondays(plan.from, plan.to).map((monday) => (
        <Week
          key={monday}
          {...{ monday, depots, visits: plan.visits }}
          show={(visit) => <Proposed visit={visit} onOpen={() => isOpen && (opened.value = visit.id)} />}
          onMove={isOpen ? move : undefined}
        />
      ))}
      <Left plan={plan} />
      {shown && <PlannedDialog visit={shown} change={change} onClose={() => (opened.value = null)} />}
      {isConfirming.value && <Confirm plan={plan} onClose={() => (isConfirming.value = false)} />}
    </>
  );
}

/** A plan of visits: its cost, its calendar, and what a manager changes before booking it. */
export function OnePlan({ id, depots }: { id: string; depots: readonly Depot[] }) {
  const { state, reload } = useLoaded(
    async (client, signal) => (await client.get('/v1/visit-plans/{id}', { path: { id }, signal })).data,
    [id],
  );
  const plan = state.value.value;
  const waits = plan !== null && isUnderWay(plan) && state.value.is === 'there';
  useEffect(() => {
    if (!waits) return undefined;
    const timer = setTimeout(reload, LOOK_AGAIN_MS);
    return () => clearTimeout(timer);
  }, [waits, reload, state.value]);
  return (
    <>
      <p>
        <Link href="/visits">{tell(message('desk-plan-back'))}</Link>
      </p>
      <Shown state={state} again={reload}>
        {(shown) => (
          <>
            <Heading>
              {tell(message('desk-plan', { from: dayInWords(shown.from), to: dayInWords(shown.to) }))}
            </Heading>
            {isUnderWay(shown) ? (
              <p role="status">
                {tell(message('desk-plan-working', { percent: Math.round(shown.progress.share * 100) }))}
              </p>
            ) : (
              <Solved plan={shown} {...{ depots, reload }} />
            )}
          </>
        )}
      </Shown>
    </>
  );
}
