import { type Signal, useSignal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useRef } from 'preact/hooks';
import { ProblemError } from '../../../../typescript/src/faults.js';
import { Dialog } from '../../kit/parts/dialog.js';
import { Fault } from '../../kit/parts/fault.js';
import { Field, faultsOf } from '../../kit/parts/field.js';

/** Whether the fields themselves say all that was refused. */
function isSaidByFields(problem: unknown, fields: readonly string[]): boolean {
  if (!(problem instanceof ProblemError)) return false;
  const { errors = [] } = problem.problem;
  return errors.length > 0 && errors.every(({ pointer }) => fields.includes(pointer ?? ''));
}

/** Sends what was given. Closes the dialog around the form once that has been taken. */
function useSending(send: () => Promise<void>) {
  const problem = useSignal<unknown>(null);
  const isBusy = useSignal(false);
  const isDone = useRef(false);
  const submit = async (form: HTMLFormElement): Promise<void> => {
    isBusy.value = true;
    try {
      await send();
      isDone.current = true;
      // The browser gives the focus back to where it was.
      form.closest('dialog')?.close();
    } catch (refused) {
      problem.value = refused;
    }
    isBusy.value = false;
  };
  return { problem: problem.value, isBusy: isBusy.value, isDone, submit };
}

/**
 * Asks before something is done, says what will happen, and does it. Stays open when that is
 * refused, with the service's words beside the field.
 *
 * @param says what will happen, a paragraph each
 * @param way what the button says that does it
 * @param fields JSON pointers of the fields that say what is wrong with them
 * @param onClose called once, however it is closed
 */
export function Ask({
  title,
  says,
  way,
  fields = [],
  send,
  onClose,
  children,
}: {
  title: string;
  says: readonly string[];
  way: string;
  fields?: readonly string[];
  send: () => Promise<void>;
  onClose: (isDone: boolean) => void;
  children?: (problem: unknown) => ComponentChildren;
}) {
  const { problem, isBusy, isDone, submit } = useSending(send);
  return (
    <Dialog title={title} onClose={() => onClose(isDone.current)}>
      {says.map((text) => (
        <p key={text}>{text}</p>
      ))}
      <form
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void submit(event.currentTarget);
        }}
      >
        {children?.(problem)}
        {problem !== null && !isSaidByFields(problem, fields) && <Fault problem={problem} />}
        <button type="submit" disabled={isBusy}>
          {way}
        </button>
      </form>
    </Dialog>
  );
}

/** A field of a question, with what is wrong with it beside it. */
export function Given({
  label,
  value,
  problem,
  pointer,
  type = 'text',
}: {
  label: string;
  value: Signal<string>;
  problem: unknown;
  pointer: string;
  type?: 'text' | 'date';
}) {
  return (
    <Field label={label} faults={faultsOf([problem], pointer)}>
      {(about) => (
        <input
          type={type}
          {...about}
          value={value}
          onInput={({ currentTarget }) => (value.value = currentTarget.value)}
        />
      )}
    </Field>
  );
}

/** A choice in a question, with what is wrong with it beside it. */
export function Chosen({
  label,
  choices,
  value,
  problem,
  pointer,
}: {
  label: string;
  choices: readonly { value: string; text: string }[];
  value: Signal<string>;
  problem: unknown;
  pointer: string;
}) {
  return (
    <Field label={label} faults={faultsOf([problem], pointer)}>
      {(about) => (
        <select
          {...about}
          value={value}
          onChange={({ currentTarget }) => (value.value = currentTarget.value)}
        >
          {choices.map((choice) => (
            <option key={choice.value} value={choice.value}>
              {choice.text}
            </option>
          ))}
        </select>
      )}
    </Field>
  );
}
