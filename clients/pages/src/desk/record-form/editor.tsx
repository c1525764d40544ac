import { useSignal } from '@preact/signals';
import { type RefObject } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { Dialog } from '../../kit/parts/dialog.js';
import { problemInWords } from '../../kit/parts/field.js';
import { tell } from '../../kit/texts/tell.js';
import { faultsIn, unsaid } from './faults.js';
import { fillingOf } from './filling.js';
import { message } from './messages.js';
import { Parts } from './parts.js';
import type { Draft, Shape } from './shape.js';
import { type Asked, type Editing, useRecord } from './use-record.js';
import './record-form.css';

/** What is wrong and belongs to no field of the form. */
export function FaultOfForm({ problem, shape, draft }: { problem: unknown; shape: Shape; draft: Draft }) {
  if (problem === null) return null;
  const faults = faultsIn(problem);
  const left = unsaid(faults, shape, draft);
  if (faults.length > 0 && left.length === 0) return null;
  const text = left.length > 0 ? left.map(({ detail }) => detail).join(' ') : problemInWords(problem);
  return (
    <p class="fault" role="alert">
      {text}
    </p>
  );
}

/** Brings the first field that is wrong into view, and the focus there. */
export function useFocusOnFault(form: RefObject<HTMLElement>, problem: unknown): void {
  useEffect(() => {
    if (problem !== null) form.current?.querySelector<HTMLElement>('[aria-invalid=true]')?.focus();
  }, [problem]);
}

function Meanwhile({ changes }: { changes: readonly string[] }) {
  if (changes.length === 0) return null;
  return (
    <div class="fault" role="alert">
      <p>{tell(message('desk-record-meanwhile'))}</p>
      <ul class="dots">
        {changes.map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
    </div>
  );
}

function Question({
  title,
  asked,
  isBusy,
  onYes,
  onClose,
}: {
  title: string;
  asked: Asked;
  isBusy: boolean;
  onYes: () => void;
  onClose: () => void;
}) {
  return (
    <Dialog title={title} onClose={onClose}>
      <ul class="dots">
        {asked.changes.map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
      {asked.consequences.map((text) => (
        <p key={text}>{text}</p>
      ))}
      <p class="faint">{tell(message('desk-record-undo'))}</p>
      <button type="button" disabled={isBusy} onClick={onYes}>
        {tell(message('desk-record-keep-now'))}
      </button>
    </Dialog>
  );
}

/**
 * A form that changes a record. Before a change is kept, it says what changes and what follows.
 *
 * @param name what the record is called
 */
export function RecordEditor({ name, ...editing }: Editing & { name: string }) {
  const { draft, problem, meanwhile, asked, said, ask, keep } = useRecord(editing);
  const isBusy = useSignal(false);
  const form = useRef<HTMLFormElement>(null);
  const saving = useRef<HTMLButtonElement>(null);
  const { shape, units } = editing;
  useFocusOnFault(form, problem.value);
  const during = async (work: Promise<void>): Promise<void> => {
    isBusy.value = true;
    await work;
    isBusy.value = false;
  };
  const onYes = async (change: Asked): Promise<void> => {
    await during(keep(change));
    if (problem.value === null) saving.current?.focus();
  };
  const submit = (event: Event): void => {
    event.preventDefault();
    void during(ask());
  };
  const filling = fillingOf(draft.value, { units, faults: faultsIn(problem.value) }, (next) => {
    draft.value = next;
    said.value = null;
  });
  return (
    <form ref={form} class="record-form" noValidate onSubmit={submit}>
      <Meanwhile changes={meanwhile.value} />
      <Parts {...{ shape, filling }} at="" />
      <FaultOfForm {...{ problem: problem.value, shape, draft: draft.value }} />
      <button ref={saving} type="submit" aria-disabled={isBusy}>
        {tell(message('desk-record-keep'))}
      </button>
      <p role="status">
        {said.value === 'kept' && tell(message('desk-record-kept'))}
        {said.value === 'unchanged' && tell(message('desk-record-unchanged'))}
      </p>
      {asked.value !== null && (
        <Question
          title={tell(message('desk-record-keep-title', { name }))}
          asked={asked.value}
          isBusy={isBusy.value}
          onYes={() => asked.value && void onYes(asked.value)}
          onClose={() => (asked.value = null)}
        />
      )}
    </form>
  );
}
