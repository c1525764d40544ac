import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { Dialog } from '../../kit/parts/dialog.js';
import { Fault } from '../../kit/parts/fault.js';
import { Field } from '../../kit/parts/field.js';
import { tell } from '../../kit/texts/tell.js';
import { useActing } from '../settings/acting.js';
import { type Change, carriedOut, changed, planNow, severeFollows, tried } from './changed-plan.js';
import { message } from './messages.js';
import { type Advice, type Plan, type Present, rounded, useInWords } from './words.js';

/** A change that was carried out, and what undoes it. */
export interface Done {
  plan: Plan;
  change: Change;
  /** The limit before and after, in words. */
  now: string;
  next: string;
}

/** A change that was tried out. */
interface Tried {
  plan: Plan;
  change: Change;
  next: string;
  said: readonly string[];
  isForSevereToo: boolean;
}

/** What follows from the change, before anything is changed. */
function Follows({
  tried: { next, said, isForSevereToo },
  present,
  part,
  now,
}: {
  tried: Tried;
  present: Present;
  part: string;
  now: string;
}) {
  const { name: plan, duty } = present;
  return (
    <div role="status">
      <p>{tell(message('desk-advice-change-what', { plan, part, now, next, duty }))}</p>
      {isForSevereToo && <p>{tell(message('desk-advice-change-normal'))}</p>}
      <p>{tell(message('desk-advice-would'))}</p>
      <ul class="dots">
        {said.map((one) => (
          <li key={one}>{one}</li>
        ))}
      </ul>
      <p>{tell(message('desk-advice-change-maker'))}</p>
      <p>{tell(message('desk-advice-change-undo'))}</p>
    </div>
  );
}

/** Tries out what is typed; first what is advised. */
function useTrial({ by, optimum }: Advice, present: Present) {
  const unit = optimum?.interval.unit ?? present.every?.unit ?? '';
  const typed = useSignal(String(rounded(optimum?.interval.value ?? 0)));
  const found = useSignal<Tried | null>(null);
  const fault = useSignal('');
  const { problem, isBusy, act } = useActing();
  const check = (): void => {
    found.value = null;
    const value = Number(typed.value);
    fault.value = value > 0 ? '' : tell(message('desk-advice-no-number'));
    if (fault.value !== '') return;
    void act(async () => {
      const plan = await planNow(present.intervalPlanId);
      const change = changed(plan, present, by, { value, unit });
      const isForSevereToo = present.duty === 'normal' && severeFollows(plan, present, by);
      const said = await tried(plan, change);
      found.value = { plan, change, said, isForSevereToo, next: useInWords(value, unit) };
    });
  };
  const type = (text: string): void => {
    typed.value = text;
    found.value = null;
  };
  useEffect(check, []);
  return { unit, typed, type, found, fault, check, problem, isBusy, act };
}

function NewInterval({ unit, typed, type, fault, check, isBusy }: ReturnType<typeof useTrial>) {
  const submit = (event: Event): void => {
    event.preventDefault();
    check();
  };
  return (
    <form noValidate onSubmit={submit}>
      <Field
        label={tell(message('desk-advice-new-interval', { unit }))}
        faults={fault.value === '' ? [] : [fault.value]}
      >
        {(about) => (
          <input
            {...about}
            inputMode="decimal"
            autocomplete="off"
            value={typed}
            onInput={({ currentTarget: { value } }) => type(value)}
          />
        )}
      </Field>
      <button type="submit" disabled={isBusy}>
        {tell(message('desk-advice-check'))}
      </button>
    </form>
  );
}

/** Tries out another interval, says what it would do, and changes the plan if that is wanted. */
export function ChangePlan({
  advice,
  present,
  part,
  onClose,
  onDone,
}: {
  advice: Advice;
  present: Present;
  part: string;
  onClose: () => void;
  onDone: (done: Done) => void;
}) {
  const trial = useTrial(advice, present);
  const { unit, found, problem, isBusy, act } = trial;
  const now =
    present.every == null
      ? tell(message('desk-advice-no-limit'))
      : useInWords(present.every.value ?? 0, unit);
  const carryOut = ({ plan, change, next }: Tried): Promise<void> =>
    act(async () => onDone({ plan: await carriedOut(plan, change), change, now, next }));
  const ready = found.value;
  return (
    <Dialog title={tell(message('desk-advice-change-title', { plan: present.name }))} onClose={onClose}>
      <NewInterval {...trial} />
      {problem.value !== null && <Fault problem={problem.value} />}
      {ready !== null && (
        <>
          <Follows tried={ready} {...{ present, part, now }} />
          <button type="button" disabled={isBusy} onClick={() => void carryOut(ready)}>
            {tell(message('desk-advice-change-now'))}
          </button>
        </>
      )}
    </Dialog>
  );
}
