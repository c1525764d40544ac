import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';
import { ProblemError } from '../../../../typescript/src/faults.js';
import { message } from '../messages.js';
import { tell } from '../texts/tell.js';

/** What a problem says of a field, in the service's words, each once. */
export function faultsOf(problems: readonly unknown[], pointer: string): string[] {
  const said = problems.flatMap((problem) =>
    problem instanceof ProblemError
      ? (problem.problem.errors ?? []).filter((error) => error.pointer === pointer)
      : [],
  );
  return [...new Set(said.map(({ detail }) => detail))];
}

/** All that a problem says, in one text. */
export function problemInWords(problem: unknown): string {
  if (!(problem instanceof ProblemError)) return tell(message('page-no-answer'));
  const { errors, detail } = problem.problem;
  return errors?.length ? errors.map((error) => error.detail).join(' ') : detail;
}

interface AboutField {
  'aria-invalid': boolean;
  'aria-describedby': string | undefined;
}

/**
 * A field with its label, and what is wrong with it beside it.
 *
 * @param note what else is to be known of it
 */
export function Field({
  label,
  faults = [],
  note,
  children,
}: {
  label: string;
  faults?: readonly string[];
  note?: string | undefined;
  children: (about: AboutField) => ComponentChildren;
}) {
  const id = useId();
  const isInvalid = faults.length > 0;
  const said = [isInvalid ? id : '', note === undefined ? '' : `${id}-note`].filter(Boolean);
  return (
    <div class="field">
      <label>
        <span>{label}</span>
        {children({ 'aria-invalid': isInvalid, 'aria-describedby': said.join(' ') || undefined })}
      </label>
      {note !== undefined && (
        <p id={`${id}-note`} class="note">
          {note}
        </p>
      )}
      {isInvalid && (
        <p id={id} class="fault">
          {faults.join(' ')}
        </p>
      )}
    </div>
  );
}
