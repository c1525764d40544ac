import { useSignal } from '@preact/signals';
import { type DueLine, dueDayInWords, workInWords } from '../../kit/due/due-line.js';
import { Dialog } from '../../kit/parts/dialog.js';
import { Field, faultsOf, problemInWords } from '../../kit/parts/field.js';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import { message as kitMessage } from '../../kit/messages.js';
import { message } from './messages.js';

/** Requests under way at the same time. */
const AT_A_TIME = 4;

type Outcome = { line: DueLine; now: DueLine } | { line: DueLine; problem: unknown };

const unitAndWork = (line: DueLine) => ({ unit: line.vehicle.unitNumber, work: workInWords(line) });

/** Puts lines off, each by itself, and says of each what became of it. */
async function putOff(
  lines: readonly DueLine[],
  given: { until: string | null; reason: string },
  onEach: (outcome: Outcome) => void,
): Promise<void> {
  const client = service();
  const waiting = [...lines];
  const work = async (): Promise<void> => {
    for (let line = waiting.shift(); line !== undefined; line = waiting.shift())
      try {
        const path = { id: line.id };
        const { data } = await client.post('/v1/due-list/{id}/postpone', { path, body: given });
        onEach({ line, now: data });
      } catch (problem) {
        onEach({ line, problem });
      }
  };
  await Promise.all(Array.from({ length: AT_A_TIME }, work));
}

/** Whether all that was refused was refused for the same thing, which a field says already. */
function isSaidByField(outcomes: readonly Outcome[]): boolean {
  const problems = outcomes.flatMap((outcome) => ('problem' in outcome ? [outcome.problem] : []));
  const isOfField = faultsOf(problems, '/until').length + faultsOf(problems, '/reason').length > 0;
  return isOfField && new Set(problems.map(problemInWords)).size === 1;
}

function Outcomes({ outcomes, isDone }: { outcomes: readonly Outcome[]; isDone: boolean }) {
  return (
    <ul class="outcomes" aria-label={tell(message('desk-due-outcomes'))}>
      {outcomes
        .filter((outcome) => 'now' in outcome === isDone)
        .map((outcome) => (
          <li key={outcome.line.id}>
            {'now' in outcome
              ? tell(
                  message('desk-due-was-put-off', {
                    ...unitAndWork(outcome.line),
                    until: dueDayInWords(outcome.now),
                  }),
                )
              : tell(
                  message('desk-due-not-put-off', {
                    ...unitAndWork(outcome.line),
                    why: problemInWords(outcome.problem),
                  }),
                )}
          </li>
        ))}
    </ul>
  );
}

function Form({
  count,
  outcomes,
  isBusy,
  onGiven,
}: {
  count: number;
  outcomes: readonly Outcome[];
  isBusy: boolean;
  onGiven: (given: { until: string | null; reason: string }) => void;
}) {
  const until = useSignal('');
  const reason = useSignal('');
  const problems = outcomes.flatMap((outcome) => ('problem' in outcome ? [outcome.problem] : []));
  const submit = (event: Event): void => {
    event.preventDefault();
    onGiven({ until: until.value === '' ? null : until.value, reason: reason.value });
  };
  return (
    <form onSubmit={submit} noValidate>
      <Field label={tell(message('desk-due-until'))} faults={faultsOf(problems, '/until')}>
        {(about) => (
          <input
            type="date"
            {...about}
            value={until}
            onInput={(e) => (until.value = e.currentTarget.value)}
          />
        )}
      </Field>
      <Field label={tell(message('desk-due-reason'))} faults={faultsOf(problems, '/reason')}>
        {(about) => (
          <input {...about} value={reason} onInput={(e) => (reason.value = e.currentTarget.value)} />
        )}
      </Field>
      <button type="submit" disabled={isBusy}>
        {tell(message('desk-due-put-off', { count }))}
      </button>
    </form>
  );
}

/** Asks until when and why lines are put off, and says what became of each. */
export function PutOff({
  lines,
  onClose,
}: {
  lines: readonly DueLine[];
  /** @param put those that were put off */
  onClose: (put: readonly string[]) => void;
}) {
  const left = useSignal(lines);
  const outcomes = useSignal<readonly Outcome[]>([]);
  const isBusy = useSignal(false);
  const done = outcomes.value.filter((outcome) => 'now' in outcome);
  const given = async (values: { until: string | null; reason: string }): Promise<void> => {
    isBusy.value = true;
    outcomes.value = done;
    await putOff(left.value, values, (outcome) => (outcomes.value = [...outcomes.value, outcome]));
    left.value = outcomes.value.flatMap((outcome) => ('problem' in outcome ? [outcome.line] : []));
    isBusy.value = false;
  };
  const count = left.value.length;
  return (
    <Dialog
      title={tell(message('desk-due-put-off', { count: lines.length }))}
      way={done.length > 0 ? tell(kitMessage('page-close')) : undefined}
      onClose={() => onClose(done.map(({ line }) => line.id))}
    >
      {count > 0 && (
        <>
          <p>{tell(message('desk-due-put-off-what', { count }))}</p>
          <p>{tell(message('desk-due-put-off-no-undo'))}</p>
          <Form
            count={count}
            outcomes={outcomes.value}
            isBusy={isBusy.value}
            onGiven={(values) => void given(values)}
          />
        </>
      )}
      <div role="status">
        {done.length > 0 && <p>{tell(message('desk-due-put-off-done', { count: done.length }))}</p>}
        {!isBusy.value && count > 0 && outcomes.value.length > 0 && (
          <p>{tell(message('desk-due-put-off-left', { count }))}</p>
        )}
      </div>
      {outcomes.value.length > done.length && !isSaidByField(outcomes.value) && (
        <Outcomes outcomes={outcomes.value} isDone={false} />
      )}
      {done.length > 0 && <Outcomes outcomes={done} isDone />}
    </Dialog>
  );
}
