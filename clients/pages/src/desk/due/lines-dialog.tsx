import { useSignal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import type { Message } from '../../../../../src/domain/message.js';
import type { DueLine } from '../../kit/due/due-line.js';
import { Dialog } from '../../kit/parts/dialog.js';
import { faultsOf, problemInWords } from '../../kit/parts/field.js';
import { tell } from '../../kit/texts/tell.js';
import { message as kitMessage } from '../../kit/messages.js';
import { isDone, type NamedLine, type Outcome, problemsOf } from './many-lines.js';
import { message } from './messages.js';

/** What the dialog says of the work. */
export interface LineWords {
  /** The dialog's title, and its button. */
  way: (count: number) => Message;
  /** What will happen, in sentences. */
  what: (lines: readonly NamedLine[]) => readonly Message[];
  done: (count: number) => Message;
  left: (count: number) => Message;
  was: (line: { unit: string; work: string }, now: DueLine) => Message;
  wasNot: (line: { unit: string; work: string; why: string }) => Message;
}

/** Whether all that was refused was refused for the same thing, which a field says already. */
function isSaidByField(problems: readonly unknown[], fields: readonly string[]): boolean {
  const isOfField = fields.some((field) => faultsOf(problems, field).length > 0);
  return isOfField && new Set(problems.map(problemInWords)).size === 1;
}

function Outcomes({ outcomes, words }: { outcomes: readonly Outcome[]; words: LineWords }) {
  return (
    <ul class="outcomes" aria-label={tell(message('desk-due-outcomes'))}>
      {outcomes.map((outcome) => {
        const { id, ...which } = outcome.line;
        const said = isDone(outcome)
          ? words.was(which, outcome.now)
          : words.wasNot({ ...which, why: problemInWords(outcome.problem) });
        return <li key={id}>{tell(said)}</li>;
      })}
    </ul>
  );
}

export interface LinesDialogProps {
  lines: readonly NamedLine[];
  words: LineWords;
  /** The fields, by their places in the request. */
  fields: readonly string[];
  /** Whether the fields say enough to do it. */
  isReady?: boolean;
  /** Does the work as the fields say. */
  work: (lines: readonly NamedLine[]) => Promise<readonly Outcome[]>;
  /** @param done the lines to which it was done */
  onClose: (done: readonly string[]) => void;
  /** @param problems what was refused the last time */
  children: (problems: readonly unknown[]) => ComponentChildren;
}

/** The lines that are still to be done, and what became of those tried so far. */
function useWork(lines: readonly NamedLine[], work: LinesDialogProps['work']) {
  const left = useSignal(lines);
  const outcomes = useSignal<readonly Outcome[]>([]);
  const isBusy = useSignal(false);
  const go = async (): Promise<void> => {
    isBusy.value = true;
    outcomes.value = [...outcomes.value.filter(isDone), ...(await work(left.value))];
    left.value = outcomes.value.flatMap((outcome) => (isDone(outcome) ? [] : [outcome.line]));
    isBusy.value = false;
  };
  return { left: left.value, outcomes: outcomes.value, isBusy: isBusy.value, go };
}

/** Asks what to do to some lines, does it, and says of each what became of it. */
export function LinesDialog({
  lines,
  words,
  fields,
  isReady = true,
  work,
  onClose,
  children,
}: LinesDialogProps) {
  const { left, outcomes, isBusy, go } = useWork(lines, work);
  const [done, refused] = [outcomes.filter(isDone), outcomes.filter((outcome) => !isDone(outcome))];
  const problems = problemsOf(refused);
  const submit = (event: Event): void => {
    event.preventDefault();
    void go();
  };
  return (
    <Dialog
      title={tell(words.way(lines.length))}
      way={done.length > 0 ? tell(kitMessage('page-close')) : undefined}
      onClose={() => onClose(done.map(({ line }) => line.id))}
    >
      {left.length > 0 && (
        <form onSubmit={submit} noValidate>
          {words.what(left).map((said) => (
            <p key={said.code}>{tell(said)}</p>
          ))}
          {children(problems)}
          <button type="submit" disabled={isBusy || !isReady}>
            {tell(words.way(left.length))}
          </button>
        </form>
      )}
      <div role="status">
        {done.length > 0 && <p>{tell(words.done(done.length))}</p>}
        {!isBusy && refused.length > 0 && <p>{tell(words.left(refused.length))}</p>}
      </div>
      {refused.length > 0 && !isSaidByField(problems, fields) && (
        <Outcomes outcomes={refused} words={words} />
      )}
      {done.length > 0 && <Outcomes outcomes={done} words={words} />}
    </Dialog>
  );
}
