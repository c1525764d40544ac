import { useSignal } from '@preact/signals';
import { Fault } from '../../kit/parts/fault.js';
import { mayManage } from '../../kit/service/me.js';
import { tell } from '../../kit/texts/tell.js';
import { useActing } from '../settings/acting.js';
import { ChangePlan, type Done } from './change.js';
import { carriedOut } from './changed-plan.js';
import { message } from './messages.js';
import { type Advice, type Present, useInWords } from './words.js';

/** What was done, and the button that takes it back. */
function WasDone({ done, onUndone }: { done: Done; onUndone: () => void }) {
  const { problem, isBusy, act } = useActing();
  const undone = useSignal(false);
  const { plan, change, now, next } = done;
  const undo = () =>
    act(async () => {
      await carriedOut(plan, { before: change.after, after: change.before });
      undone.value = true;
      onUndone();
    });
  return (
    <div class="done" role="status">
      <p>
        {undone.value
          ? tell(message('desk-advice-undone', { plan: plan.name, now }))
          : tell(message('desk-advice-changed', { plan: plan.name, next }))}
      </p>
      {problem.value !== null && <Fault problem={problem.value} />}
      {!undone.value && (
        <button type="button" disabled={isBusy} onClick={() => void undo()}>
          {tell(message('desk-advice-undo', { now }))}
        </button>
      )}
    </div>
  );
}

function Row({
  present,
  canChange,
  onChange,
}: {
  present: Present;
  canChange: boolean;
  onChange: () => void;
}) {
  const { name, item, duty, vehicles, every, basis } = present;
  return (
    <tr>
      <th scope="row">
        {name}
        {item !== null && ` (${item})`}
      </th>
      <td>{tell(message('desk-advice-under', { duty }))}</td>
      <td class="number">{vehicles}</td>
      <td>
        {every == null
          ? tell(message('desk-advice-no-limit'))
          : useInWords(every.value ?? 0, String(every.unit))}
        {basis.map(({ code, text }) => (
          <p key={code} class="ready-made">
            <strong>{tell(message('desk-advice-ready-made'))}</strong> {text}
          </p>
        ))}
      </td>
      <td>
        {canChange && (
          <button type="button" onClick={onChange}>
            {tell(message('desk-advice-change', { plan: name, duty }))}
          </button>
        )}
      </td>
    </tr>
  );
}

const Head = () => (
  <thead>
    <tr>
      {(['plan', 'duty'] as const).map((column) => (
        <th key={column} scope="col">
          {tell(message(`desk-advice-${column}`))}
        </th>
      ))}
      <th scope="col" class="number">
        {tell(message('desk-advice-vehicles'))}
      </th>
      <th scope="col">{tell(message('desk-advice-every'))}</th>
      <td />
    </tr>
  </thead>
);

/** The present intervals, and the way to change one where another is advised. */
export function Plans({ advice, part, reload }: { advice: Advice; part: string; reload: () => void }) {
  const asking = useSignal<Present | null>(null);
  const done = useSignal<Done | null>(null);
  const { currentIntervals, optimum } = advice;
  return (
    <section>
      <h2>{tell(message('desk-advice-plans'))}</h2>
      {done.value !== null && <WasDone key={done.value.next} done={done.value} onUndone={reload} />}
      {currentIntervals.length === 0 ? (
        <p>{tell(message('desk-advice-no-plan'))}</p>
      ) : (
        <table class="present-intervals">
          <caption class="unseen">{tell(message('desk-advice-plans'))}</caption>
          <Head />
          <tbody>
            {currentIntervals.map((present) => (
              <Row
                key={`${present.intervalPlanId} ${present.pointer} ${present.duty}`}
                present={present}
                canChange={mayManage() && optimum !== null && present.comparison !== 'within'}
                onChange={() => (asking.value = present)}
              />
            ))}
          </tbody>
        </table>
      )}
      {asking.value !== null && (
        <ChangePlan
          {...{ advice, part }}
          present={asking.value}
          onClose={() => (asking.value = null)}
          onDone={(what) => {
            asking.value = null;
            done.value = what;
            reload();
          }}
        />
      )}
    </section>
  );
}
