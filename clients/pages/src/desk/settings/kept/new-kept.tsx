import { useSignal } from '@preact/signals';
import { useRef } from 'preact/hooks';
import { useLocation, useSearchParams } from 'wouter-preact';
import type { UnitSystem } from '../../../../../../src/domain/quantities/measures.js';
import { Shown } from '../../../kit/parts/loading.js';
import { Heading } from '../../../kit/parts/shell.js';
import { useLoaded } from '../../../kit/service/loaded.js';
import { tell } from '../../../kit/texts/tell.js';
import { draftOf, valueOf } from '../../record-form/draft.js';
import { FaultOfForm, useFocusOnFault } from '../../record-form/editor.js';
import { faultsIn } from '../../record-form/faults.js';
import { fillingOf } from '../../record-form/filling.js';
import { Parts } from '../../record-form/parts.js';
import { useActing } from '../acting.js';
import { ToSettings } from '../to-settings.js';
import type { KeptRecord, Kind } from './kinds.js';
import { message } from './messages.js';

/** @param from what it is a copy of; null: it begins empty */
function Form({ from, units, kind }: { from: KeptRecord | null; units: UnitSystem; kind: Kind }) {
  const { shape, what, address } = kind;
  const named = from && { ...from, name: tell(message('desk-kept-copy-of', { name: from.name })) };
  const draft = useSignal(draftOf(shape, named));
  const { problem, isBusy, act } = useActing();
  const form = useRef<HTMLFormElement>(null);
  const [, go] = useLocation();
  useFocusOnFault(form, problem.value);
  const submit = (event: Event): void => {
    event.preventDefault();
    void act(async () => {
      const { id } = await kind.create(valueOf(shape, draft.value, units));
      go(`${address}/${id}`, { replace: true });
    });
  };
  const filling = fillingOf(
    draft.value,
    { units, faults: faultsIn(problem.value) },
    (next) => (draft.value = next),
  );
  return (
    <form ref={form} class="record-form" noValidate onSubmit={submit}>
      {(from?.starter?.unconfirmed.length ?? 0) > 0 && (
        <p class="ready-made">{tell(message('desk-kept-copy-unmarked', { name: from?.name ?? '' }))}</p>
      )}
      <Parts {...{ shape, filling }} at="" />
      <FaultOfForm {...{ problem: problem.value, shape, draft: draft.value }} />
      <button type="submit" aria-disabled={isBusy}>
        {tell(message('desk-kept-add-now', { what }))}
      </button>
    </form>
  );
}

/** Adds a spec sheet or an interval plan; empty, or beginning as a copy of another. */
export function NewKept({ kind }: { kind: Kind }) {
  const [query] = useSearchParams();
  const id = query.get('from');
  const { state, reload } = useLoaded(
    async (client, signal) => {
      const [me, from] = await Promise.all([
        client.get('/v1/me', { signal }),
        id === null ? null : kind.load(client, id, signal),
      ]);
      return { units: me.data.units, from };
    },
    [id],
  );
  return (
    <div class="settings-view kept-view">
      <ToSettings />
      <Heading>{tell(message('desk-kept-add', { what: kind.what }))}</Heading>
      <Shown state={state} again={reload}>
        {({ units, from }) => <Form {...{ units, from, kind }} />}
      </Shown>
    </div>
  );
}
